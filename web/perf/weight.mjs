// What a page weighs and how soon it is there: bytes over the wire for a first visit (nothing kept) and the next one,
// first paint, and for the room the time until its traces are drawn.
//
//   node perf/weight.mjs                         starts the demo school of PROOFWING (target/debug/proofwing) and measures
//   node perf/weight.mjs --base http://127.0.0.1:8440 --login holloweth      a server that runs
//   node perf/weight.mjs --json                  for a program
//
// Times hang on the machine and on the build of the program; bytes do not.
import { spawn } from 'node:child_process';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { chromium } from 'playwright-core';

const { values: args } = parseArgs({
  options: {
    base: { type: 'string' },
    login: { type: 'string', default: 'holloweth' },
    password: { type: 'string', default: 'clear of clouds 2026' },
    runs: { type: 'string', default: '3' },
    chromium: { type: 'string', default: process.env.CHROMIUM ?? '/usr/bin/chromium' },
    json: { type: 'boolean', default: false },
  },
});

const server = args.base === undefined ? await demo() : { base: args.base, stop: () => undefined };
const browser = await chromium.launch({
  executablePath: args.chromium,
  args: ['--no-sandbox', '--disable-gpu'],
});
try {
  const rows = await measureAll();
  if (args.json) console.log(JSON.stringify(rows, null, 2));
  else print(rows);
} finally {
  await browser.close();
  await server.stop();
}

async function measureAll() {
  const { cookies, lesson, student } = await visit();
  const pages = [
    { name: 'sign in', to: '/sign-in' },
    { name: 'lessons', to: '/', in: true },
    { name: 'bring in', to: '/bring-in', in: true },
    { name: 'a student', to: `/students/${student}`, in: true },
    { name: 'the room', to: `/lessons/${lesson}`, in: true, drawn: true },
    { name: 'the word', to: `/lessons/${lesson}/word`, in: true },
  ];
  const rows = [];
  for (const page of pages) {
    const first = [];
    const next = [];
    for (let run = 0; run < Number(args.runs); run += 1) {
      // A browser that has never been here, then the same page again.
      const context = await browser.newContext({ viewport: { width: 1440, height: 900 } });
      if (page.in) {
        await context.addCookies(cookies);
        // The pages ask who is signed in only where somebody was.
        await context.addInitScript(() => localStorage.setItem('proofwing-signed-in', '1'));
      }
      first.push(await open(context, page));
      next.push(await open(context, page));
      await context.close();
    }
    rows.push({ name: page.name, first: median(first), next: median(next) });
  }
  return rows;
}

/** Signs in and finds a lesson with marked maneuvers, and its student. */
async function visit() {
  const context = await browser.newContext();
  const answer = await context.request.post(`${server.base}/api/v1/session`, {
    headers: { 'X-Proofwing-Request': '1' },
    data: { login: args.login, password: args.password },
  });
  if (!answer.ok()) throw new Error(`sign-in: ${answer.status()} ${await answer.text()}`);
  const lessons = await (await context.request.get(`${server.base}/api/v1/lessons?limit=200`)).json();
  const lesson = lessons
    .filter((each) => each.student !== null)
    .sort((a, b) => b.duration_s - a.duration_s)[0];
  if (lesson === undefined) throw new Error('the school has no lesson to measure');
  // Debriefed once, so that what is measured is opening it, not making it.
  await context.request.get(`${server.base}/api/v1/lessons/${lesson.id}`);
  const cookies = await context.cookies();
  await context.close();
  return { cookies, lesson: lesson.id, student: lesson.student.id };
}

async function open(context, { to, drawn }) {
  const page = await context.newPage();
  const protocol = await context.newCDPSession(page);
  await protocol.send('Network.enable');
  const kinds = new Map();
  const bytes = { code: 0, style: 0, type: 0, data: 0, other: 0 };
  let requests = 0;
  protocol.on('Network.responseReceived', ({ requestId, type }) => kinds.set(requestId, type));
  protocol.on('Network.loadingFinished', ({ requestId, encodedDataLength }) => {
    requests += 1;
    bytes[kindOf(kinds.get(requestId))] += encodedDataLength;
  });
  await page.goto(server.base + to);
  await page.waitForFunction(() => document.querySelector('h1') !== null);
  if (drawn)
    await page.waitForFunction(() => performance.getEntriesByName('room:drawn').length > 0, undefined, {
      timeout: 60_000,
    });
  await page.waitForLoadState('networkidle');
  const times = await page.evaluate(() => {
    const at = (name) => performance.getEntriesByName(name).at(0)?.startTime ?? NaN;
    return { paint_ms: at('first-contentful-paint'), drawn_ms: at('room:drawn') };
  });
  await page.close();
  const total = Object.values(bytes).reduce((sum, one) => sum + one, 0);
  return { ...bytes, total, requests, ...times };
}

function kindOf(type) {
  return { Script: 'code', Stylesheet: 'style', Font: 'type', XHR: 'data', Fetch: 'data' }[type] ?? 'other';
}

function median(runs) {
  const of = (key) => runs.map((run) => run[key]).sort((a, b) => a - b)[Math.floor(runs.length / 2)];
  return Object.fromEntries(Object.keys(runs[0]).map((key) => [key, Math.round(of(key))]));
}

function print(rows) {
  const kb = (n) => `${(n / 1000).toFixed(n < 9950 ? 1 : 0)}`.padStart(6);
  const ms = (n) => (Number.isFinite(n) ? String(n) : '').padStart(6);
  console.log(
    '                   over the wire, kB (gzip)                        requests  first paint  drawn   next visit',
  );
  console.log(
    'page                code  style   type   data  other  total                    ms     ms       kB     ms',
  );
  for (const { name, first, next } of rows) {
    console.log(
      `${name.padEnd(18)}${kb(first.code)} ${kb(first.style)} ${kb(first.type)} ${kb(first.data)} ${kb(first.other)} ${kb(first.total)}` +
        `        ${String(first.requests).padStart(4)}   ${ms(first.paint_ms)} ${ms(first.drawn_ms)}   ${kb(next.total)} ${ms(next.drawn_ms || next.paint_ms)}`,
    );
  }
  console.log(
    'code: scripts; type: fonts; data: answers of the API; a next visit keeps what the server lets it keep.',
  );
}

/** The demo school in a folder of its own. */
async function demo() {
  const program =
    process.env.PROOFWING ?? fileURLToPath(new URL('../../target/debug/proofwing', import.meta.url));
  const data = await mkdtemp(path.join(tmpdir(), 'proofwing-weight-'));
  const child = spawn(program, ['demo', '--machine', '--data', data, '--address', '127.0.0.1:0'], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  const base = await new Promise((found, failed) => {
    let said = '';
    child.stdout.on('data', (chunk) => {
      said += chunk;
      const address = /^address (\S+?)\/?$/m.exec(said)?.[1];
      if (address) found(address);
    });
    child.once('error', failed);
    child.once('exit', (code) => failed(new Error(`${program} ended with ${code}`)));
  });
  return {
    base,
    stop: async () => {
      const ended = new Promise((done) => child.once('exit', done));
      child.kill('SIGINT');
      await ended;
      await rm(data, { recursive: true, force: true });
    },
  };
}
