import { defineConfig } from '@playwright/test';

/** Every journey runs in the system's own Chromium; nothing is downloaded. */
export default defineConfig({
  testDir: '.',
  testMatch: '*.journey.ts',
  outputDir: '../test-results',
  globalSetup: './demo-school.ts',
  // Two cores: a server and a browser each.
  workers: 2,
  fullyParallel: false,
  // A journey that fails once has found something.
  retries: 0,
  // Far more than a quiet machine takes: a busy one must not fail a journey.
  timeout: 480_000,
  expect: { timeout: 30_000 },
  reporter: [['list']],
  use: {
    launchOptions: {
      executablePath: process.env['CHROMIUM'] ?? '/usr/bin/chromium',
      args: ['--no-sandbox', '--disable-gpu'],
    },
    viewport: { width: 1440, height: 900 },
    colorScheme: 'light',
    locale: 'en-US',
    actionTimeout: 30_000,
    trace: { mode: 'retain-on-failure', screenshots: false, snapshots: false },
    screenshot: 'only-on-failure',
  },
});
