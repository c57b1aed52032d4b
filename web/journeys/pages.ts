// For trying pages that are not in web/dist yet: PAGES names a folder that `vite build --outDir` wrote, and its files
// answer in place of the program's own, with the program's headers (the content policy above all).
import type { BrowserContext } from '@playwright/test';
import { existsSync } from 'node:fs';
import path from 'node:path';

const types: Record<string, string> = {
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.woff2': 'font/woff2',
  '.html': 'text/html; charset=utf-8',
};

export async function pagesFrom(context: BrowserContext, address: string): Promise<void> {
  const from = process.env['PAGES'];
  if (from === undefined || from === '') return;
  const headers = (await context.request.get(address)).headers();
  const policy = { 'content-security-policy': headers['content-security-policy'] ?? '' };
  await context.route(`${address}/**`, async (route) => {
    const { pathname } = new URL(route.request().url());
    if (pathname.startsWith('/api/')) return route.fallback();
    const file = path.join(from, pathname);
    const type = types[path.extname(pathname)];
    if (type !== undefined && existsSync(file))
      return route.fulfill({ path: file, headers: { ...policy, 'content-type': type } });
    return route.fulfill({
      path: path.join(from, 'index.html'),
      headers: { ...policy, 'content-type': 'text/html; charset=utf-8' },
    });
  });
}
