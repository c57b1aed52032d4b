// What every journey has: a server of its own, browsers in which nothing may go wrong unseen, a look at each page.
import { test as base, expect, type BrowserContext, type Page } from '@playwright/test';
import { cp, mkdir, readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import path from 'node:path';
import type { AxeResults } from 'axe-core';
import { pagesFrom } from './pages';
import { folder, open, sweep, type Room } from './program';

/** Everybody's in the demo school. */
export const PASSWORD = 'clear of clouds 2026';

export const wide = { width: 1440, height: 900 };
export const tablet = { width: 820, height: 1180 };

/** A browser window of one person, and what went wrong in it. */
export interface Visitor {
  page: Page;
  context: BrowserContext;
  /** Answers that are meant to say no: their line in the console is expected. */
  expects: (...status: number[]) => void;
}

export interface Journey {
  /** `demo`: the invented school; `empty`: nobody has an account yet. */
  school: 'demo' | 'empty';
  /** A folder that the server watches, in the name of `holloweth`. */
  watched: boolean;
  room: Room & { folder: string };
  /** Opens another browser, as another person has. */
  visitor: () => Promise<Visitor>;
}

export const test = base.extend<Journey>({
  school: ['demo', { option: true }],

  watched: [false, { option: true }],

  room: async ({ school, watched }, use) => {
    const data = await folder(school);
    const card = await folder('card');
    const made = process.env['DEMO_SCHOOL'];
    if (school === 'demo') {
      if (made === undefined) throw new Error('the demo school was not made');
      await cp(made, data, { recursive: true });
    }
    const room = watched
      ? await open('serve', data, ['--watch', card, '--watch-as', 'holloweth'])
      : await open(school === 'demo' ? 'demo' : 'serve', data);
    await use({ ...room, folder: card });
    await room.stop();
    await sweep(data);
    await sweep(card);
  },

  visitor: async ({ browser, room, contextOptions, viewport, colorScheme }, use) => {
    const opened: { context: BrowserContext; wrong: string[] }[] = [];
    await use(async () => {
      const context = await browser.newContext({
        ...contextOptions,
        viewport: viewport ?? wide,
        colorScheme: colorScheme ?? 'light',
        locale: 'en-US',
        baseURL: room.address,
      });
      context.setDefaultTimeout(30_000);
      await pagesFrom(context, room.address);
      const wrong: string[] = [];
      const allowed = new Set<number>();
      context.on('console', (message) => {
        if (message.type() !== 'error' && message.type() !== 'warning') return;
        const status = /responded with a status of (\d+)/.exec(message.text())?.[1];
        if (status !== undefined && allowed.has(Number(status))) return;
        wrong.push(`console: ${message.text()} (${message.location().url})`);
      });
      context.on('weberror', (error) => wrong.push(`page: ${error.error().message}`));
      context.on('request', (request) => {
        const url = new URL(request.url());
        if (['data:', 'blob:'].includes(url.protocol) || url.origin === room.address) return;
        wrong.push(`a request left the server: ${request.url()}`);
      });
      opened.push({ context, wrong });
      const page = await context.newPage();
      return {
        page,
        context,
        expects: (...status) => {
          for (const each of status) allowed.add(each);
        },
      };
    });
    for (const { context, wrong } of opened) {
      await context.close();
      expect(wrong, 'nothing goes wrong in the browser').toEqual([]);
    }
  },
});

export { expect };

/** Signs in as somebody of the demo school. */
export async function signIn(page: Page, login: string, password = PASSWORD): Promise<void> {
  await page.goto('/sign-in');
  await page.getByLabel('Login').fill(login);
  await page.getByLabel('Password', { exact: true }).fill(password);
  await page.getByRole('button', { name: 'Sign in', exact: true }).click();
  await expect(page.getByRole('navigation', { name: 'Sections' })).toBeVisible();
}

const axe = readFile(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/**
 * Looks at a page as it stands: light and dark, wide and on a tablet. axe finds nothing, nothing is wider than the
 * window, and a picture of each is kept (PICTURES names the folder).
 */
export async function look(page: Page, name: string): Promise<void> {
  const pictures = process.env['PICTURES'] ?? path.join(import.meta.dirname, '../test-results/pictures');
  await mkdir(pictures, { recursive: true });
  const before = page.viewportSize() ?? wide;
  for (const [size, window] of Object.entries({ wide, tablet })) {
    await page.setViewportSize(window);
    for (const colorScheme of ['light', 'dark'] as const) {
      await page.emulateMedia({ colorScheme });
      await settled(page);
      await page.screenshot({ path: path.join(pictures, `${name}-${size}-${colorScheme}.png`) });
      await accessible(page, `${name}, ${size}, ${colorScheme}`, colorScheme === 'dark');
    }
    await expect
      .poll(() => wider(page), { message: `${name} on ${size}: wider than the window`, timeout: 5_000 })
      .toEqual([]);
  }
  await page.emulateMedia({ colorScheme: 'light' });
  await page.setViewportSize(before);
}

/** What makes the page wider than the window. */
async function wider(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const { scrollWidth, clientWidth } = document.documentElement;
    if (scrollWidth <= clientWidth) return [];
    const over = [...document.querySelectorAll('*')].filter(
      (element) => element.getBoundingClientRect().right > clientWidth + 1,
    );
    return [
      `${String(scrollWidth)} px in a window of ${String(clientWidth)} px`,
      ...over
        .slice(0, 6)
        .map(
          (element) =>
            `${element.tagName} ${element.className.toString()} ${element.textContent.slice(0, 60)}`,
        ),
    ];
  });
}

/** Two frames: what a new size or color asks for is drawn. */
async function settled(page: Page): Promise<void> {
  await page.evaluate(
    () =>
      new Promise<void>((done) => {
        requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(done, 60)));
      }),
  );
}

/** Dark has other colors and the same structure: there only the contrast is looked at anew. */
async function accessible(page: Page, where: string, contrastOnly: boolean): Promise<void> {
  const there = await page.evaluate(() => 'axe' in window);
  if (!there) await page.evaluate(await axe);
  const { violations } = await page.evaluate(
    (options) =>
      (window as unknown as { axe: { run: (options: object) => Promise<AxeResults> } }).axe.run(options),
    {
      // Only what is wrong is described: describing what is right takes most of the time.
      resultTypes: ['violations'],
      ...(contrastOnly ? { runOnly: ['color-contrast'] } : {}),
    },
  );
  const said = violations.map(
    ({ id, help, nodes }) => `${id}: ${help}: ${nodes.map(({ html }) => html.slice(0, 160)).join(' | ')}`,
  );
  expect(said, `axe, ${where}`).toEqual([]);
}

/** The room with its traces drawn. */
export async function drawn(page: Page): Promise<void> {
  await expect(page.getByRole('navigation', { name: 'Maneuvers' })).toBeVisible();
  await page.waitForFunction(() => performance.getEntriesByName('room:drawn').length > 0);
}
