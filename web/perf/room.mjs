// How fast the debrief room opens a long flight and follows the cursor, measured in Chromium with software rendering.
//
//   node perf/room.mjs --dist dist --debrief FILE.json --series FILE.pws     no server: files answer for it
//   node perf/room.mjs --base http://127.0.0.1:8087 --login L --password P --lesson ID
//
// Says: from the first request to the sheet drawn; then, while the cursor is dragged over the strip, held by key, played
// and while the sheet is zoomed, the intervals between frames.
import { readFileSync, existsSync } from 'node:fs';
import path from 'node:path';
import { parseArgs } from 'node:util';
import { chromium } from 'playwright-core';

const { values: args } = parseArgs({
  options: {
    dist: { type: 'string', default: 'dist' },
    debrief: { type: 'string' },
    series: { type: 'string' },
    base: { type: 'string' },
    login: { type: 'string' },
    password: { type: 'string' },
    lesson: { type: 'string', default: 'L1' },
    chromium: { type: 'string', default: '/usr/bin/chromium' },
    runs: { type: 'string', default: '3' },
    seconds: { type: 'string', default: '5' },
  },
});

const base = args.base ?? 'http://room.invalid';
const seconds = Number(args.seconds);
const browser = await chromium.launch({
  executablePath: args.chromium,
  args: ['--no-sandbox', '--disable-gpu'],
});
const context = await browser.newContext({ viewport: { width: 1440, height: 900 }, colorScheme: 'light' });
// The pages ask who is signed in only where somebody was.
await context.addInitScript(() => localStorage.setItem('proofwing-signed-in', '1'));
if (args.base) await signIn();
else await answerFromFiles();

const opened = [];
for (let run = 0; run < Number(args.runs); run += 1) opened.push(await open());
const { page } = opened.at(-1);
console.log(`sheet drawn after ${list(opened.map(({ drawn_ms }) => drawn_ms))} ms (from the first request)`);
console.log(
  `  of it: page scripts ready ${list(opened.map(({ ready_ms }) => ready_ms))}, series read ${list(opened.map(({ series_ms }) => series_ms))} ms`,
);

await measure('drag over the strip', async () => {
  const box = await page.locator('[role=slider]').boundingBox();
  await page.mouse.move(box.x + 20, box.y + 30);
  await page.mouse.down();
  await sweep(box.x + 20, box.x + box.width - 80, box.y + 30);
  await page.mouse.up();
});
await measure('drag over the ribbons of one maneuver', async () => {
  const box = await page.locator('.plot').boundingBox();
  await page.mouse.move(box.x + 5, box.y + 10);
  await page.mouse.down();
  await sweep(box.x + 5, box.x + box.width - 5, box.y + 10);
  await page.mouse.up();
});
await measure('arrow key held', async () => {
  const end = Date.now() + seconds * 1000;
  while (Date.now() < end) {
    await page.keyboard.press('ArrowRight');
    await page.waitForTimeout(15);
  }
});
await measure('play at 16 times', async () => {
  await page.keyboard.press('Home');
  await page.getByRole('button', { name: '16 times' }).click();
  await page.getByRole('button', { name: 'Play', exact: true }).click();
  await page.waitForTimeout(seconds * 1000);
});
await measure('zoom out to the whole flight and in again', async () => {
  const end = Date.now() + seconds * 1000;
  let out = 0;
  while (Date.now() < end) {
    await page.keyboard.press(out % 14 < 7 ? '-' : '+');
    out += 1;
    await page.waitForTimeout(60);
  }
});
await browser.close();

async function open() {
  const page = await context.newPage();
  page.on('pageerror', (error) => console.error(`page: ${error.message}`));
  await page.goto(`${base}/lessons/${args.lesson}`);
  await page.waitForFunction(() => performance.getEntriesByName('room:drawn').length > 0, undefined, {
    timeout: 60_000,
  });
  const marks = await page.evaluate(() =>
    Object.fromEntries(
      performance.getEntriesByType('mark').map((mark) => [mark.name, Math.round(mark.startTime)]),
    ),
  );
  return {
    page,
    drawn_ms: marks['room:drawn'],
    ready_ms: marks['room:open'],
    series_ms: marks['room:series'],
  };
}

/** Moves the mouse from side to side, as often as the machine takes it. */
async function sweep(from, to, y) {
  const end = Date.now() + seconds * 1000;
  for (let step = 0; Date.now() < end; step += 1) {
    const share = Math.abs(((step / 120) % 2) - 1);
    await page.mouse.move(to + (from - to) * share, y);
    await page.waitForTimeout(4);
  }
}

/** Intervals between frames while something goes on. */
async function measure(what, act) {
  await page.evaluate(() => {
    const frames = (window.__frames = []);
    let last = performance.now();
    const tick = (now) => {
      frames.push(now - last);
      last = now;
      window.__frame = requestAnimationFrame(tick);
    };
    window.__frame = requestAnimationFrame(tick);
  });
  await act();
  const frames = await page.evaluate(() => {
    cancelAnimationFrame(window.__frame);
    return window.__frames.slice(1);
  });
  const sorted = frames.toSorted((a, b) => a - b);
  const at = (share) => sorted[Math.min(Math.floor(sorted.length * share), sorted.length - 1)].toFixed(1);
  const mean = frames.reduce((sum, one) => sum + one, 0) / frames.length;
  const late = frames.filter((one) => one > 25).length;
  console.log(
    `${what}: ${(1000 / mean).toFixed(1)} frames/s; interval median ${at(0.5)}, 95 % ${at(0.95)}, worst ${at(1)} ms; ` +
      `${late} of ${frames.length} later than 25 ms`,
  );
}

async function signIn() {
  const answer = await context.request.post(`${base}/api/v1/session`, {
    headers: { 'X-Proofwing-Request': '1' },
    data: { login: args.login, password: args.password },
  });
  if (!answer.ok()) throw new Error(`sign-in: ${answer.status()} ${await answer.text()}`);
}

/** The built page and an API of files, answered within the browser: what is measured is the page alone. */
async function answerFromFiles() {
  if (!args.debrief || !args.series)
    throw new Error('give --debrief and --series, or --base with --login and --password');
  const debrief = JSON.parse(readFileSync(args.debrief, 'utf8'));
  const series = readFileSync(args.series);
  const person = {
    id: 'p',
    name: 'R. Tern',
    role: 'instructor',
    login: 'tern',
    active: true,
    created_utc: '',
    seen_utc: null,
  };
  const school = { name: 'Marsh school', standard: debrief.standard.id, terrain_ft: null, created_utc: '' };
  const lesson = {
    id: args.lesson,
    title: 'Long lesson',
    start_utc: debrief.recording.start_utc ?? '2025-09-04T14:00:00Z',
    start_known: true,
    duration_s: debrief.recording.duration_s,
    student: null,
    instructor: person,
    aircraft_id: null,
    aircraft: debrief.aircraft.name,
    standard: debrief.standard.id,
    demonstration: false,
    guessed: [],
    state: 'open',
    flown: [],
    recording_sha256: '',
    part: 0,
  };
  const view = {
    lesson,
    terrain_ft: null,
    debrief,
    word: { marks: [], notes: [], summary: null, answers: [], replies: [] },
    briefed: { entries: [] },
    corrections: [],
    signed: [],
    changes_since_signing: [],
    can: { judge: true, sign: true, reply: false },
    entry_seq: 0,
    inputs_sha256: '',
  };
  const answers = {
    '/status': { first_run: false, school: school.name, version: '', demo: null, caution: '' },
    '/me': { person, school, permissions: [] },
    [`/lessons/${args.lesson}`]: view,
  };
  const types = {
    '.js': 'text/javascript',
    '.css': 'text/css',
    '.woff2': 'font/woff2',
    '.svg': 'image/svg+xml',
  };
  await context.route('**/*', (route) => {
    const { pathname } = new URL(route.request().url());
    if (pathname.endsWith('/series'))
      return route.fulfill({ body: series, contentType: 'application/octet-stream' });
    if (pathname.startsWith('/api/v1')) {
      const answer = answers[pathname.slice('/api/v1'.length)];
      return answer === undefined
        ? route.fulfill({ status: 404, json: { code: 'not_found', message: 'There is no such thing.' } })
        : route.fulfill({ json: answer });
    }
    const file = path.join(args.dist, pathname);
    const type = types[path.extname(pathname)];
    if (type && existsSync(file)) return route.fulfill({ path: file, contentType: type });
    return route.fulfill({ path: path.join(args.dist, 'index.html'), contentType: 'text/html' });
  });
}

function list(all) {
  return all.join(', ');
}
