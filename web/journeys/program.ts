// The real program: its server on a free port with a folder of its own.
import { execFile, spawn, type ChildProcess } from 'node:child_process';
import { existsSync } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';

export const repository = fileURLToPath(new URL('../..', import.meta.url));

export const program = process.env['PROOFWING'] ?? path.join(repository, 'target/debug/proofwing');

/** The recording that no lesson of the demo school is made of. */
export const demoLesson = path.join(repository, 'data/demo/lesson.csv.gz');

export async function folder(what: string): Promise<string> {
  return mkdtemp(path.join(tmpdir(), `proofwing-${what}-`));
}

export interface Room {
  address: string;
  data: string;
  stop: () => Promise<void>;
}

/** Starts the server and waits until it says where it is. */
export async function open(command: 'demo' | 'serve', data: string, more: string[] = []): Promise<Room> {
  if (!existsSync(program)) throw new Error(`${program} is not there: cargo build --package proofwing`);
  const args = [command, '--data', data, '--address', '127.0.0.1:0', ...more];
  const server = spawn(program, args, { stdio: ['ignore', 'pipe', 'pipe'] });
  const address = await addressOf(server, `${command} --data ${data}`);
  return {
    address,
    data,
    stop: async () => {
      const ended = new Promise((done) => server.once('exit', done));
      server.kill('SIGINT');
      const late = setTimeout(() => server.kill('SIGKILL'), 5000);
      await ended;
      clearTimeout(late);
    },
  };
}

function addressOf(server: ChildProcess, what: string): Promise<string> {
  return new Promise((found, failed) => {
    let said = '';
    const listen = (chunk: Buffer) => {
      said += chunk.toString();
      const address = /https?:\/\/127\.0\.0\.1:\d+/.exec(said)?.[0];
      if (address !== undefined) found(address);
    };
    server.stdout?.on('data', listen);
    server.stderr?.on('data', listen);
    server.once('error', failed);
    server.once('exit', (code) => {
      failed(new Error(`proofwing ${what} ended with ${String(code)}:\n${said}`));
    });
    setTimeout(() => {
      failed(new Error(`proofwing ${what} did not say its address within a minute:\n${said}`));
    }, 60_000).unref();
  });
}

/** Runs a command of the program; fails with what it said. */
export async function run(...args: string[]): Promise<string> {
  const { stdout } = await promisify(execFile)(program, args, { maxBuffer: 1 << 26 });
  return stdout;
}

export async function sweep(data: string): Promise<void> {
  await rm(data, { recursive: true, force: true });
}
