import { readFileSync } from 'node:fs';
import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import { api } from './api';

// The outside truth: the server's own description, generated from its code.
interface Description {
  paths: Record<string, Record<string, { parameters?: { name: string; in: string; required?: boolean }[] }>>;
}
const described = JSON.parse(
  readFileSync(new URL('../../../../schema/openapi.json', import.meta.url), 'utf8'),
) as Description;

const asked: { method: string; url: URL }[] = [];

beforeEach(() => {
  asked.length = 0;
  vi.stubGlobal('fetch', (address: string, init: RequestInit) => {
    asked.push({ method: init.method ?? 'GET', url: new URL(address, 'http://127.0.0.1') });
    return Promise.resolve(new Response('{}'));
  });
});
afterEach(() => {
  vi.unstubAllGlobals();
});

/** The operation of the description that a request is for. */
function operation(method: string, url: URL) {
  const parts = url.pathname.replace(/^\/api\/v1/, '').split('/');
  for (const [path, operations] of Object.entries(described.paths)) {
    const pattern = path.replace(/^\/api\/v1/, '').split('/');
    const fits =
      pattern.length === parts.length && pattern.every((p, i) => p.startsWith('{') || p === parts[i]);
    const found = operations[method.toLowerCase()];
    if (fits && found) return found;
  }
  return undefined;
}

const text = 'x';
const calls: Record<Exclude<keyof typeof api, 'bringIn'>, () => Promise<unknown>> = {
  status: () => api.status(),
  firstRun: () => api.firstRun({ school: text, name: text, login: text, password: text, code: null }),
  signIn: () => api.signIn(text, text),
  signOut: () => api.signOut(),
  signOutEverywhere: () => api.signOutEverywhere(),
  sessions: () => api.sessions(),
  me: () => api.me(),
  changePassword: () => api.changePassword({ old: text, new: text }),
  openInvite: () => api.openInvite(text),
  useInvite: () => api.useInvite(text, { password: text }),
  invites: () => api.invites(),
  invite: () => api.invite({ role: 'student', name: text }),
  takeBackInvite: () => api.takeBackInvite(text),
  people: () => api.people(),
  changePerson: () => api.changePerson(text, { active: false }),
  resetLink: () => api.resetLink(text),
  signPersonOut: () => api.signPersonOut(text),
  tokens: () => api.tokens(),
  makeToken: () => api.makeToken({ label: text, days: 1 }),
  revokeToken: () => api.revokeToken(text),
  aircraft: () => api.aircraft(),
  aircraftFile: () => api.aircraftFile(text),
  addAircraft: () => api.addAircraft({ name: text, toml: text }),
  checkAircraft: () => api.checkAircraft({ name: text, toml: text }),
  changeAircraft: () => api.changeAircraft(text, { name: text, toml: text }),
  standards: () => api.standards(),
  standard: () => api.standard(text),
  putStandard: () => api.putStandard(text, text),
  retireStandard: () => api.retireStandard(text),
  changeSchool: () => api.changeSchool({ name: text }),
  recordings: () => api.recordings(),
  refused: () => api.refused(),
  recording: () => api.recording(text),
  mapRecording: () => api.mapRecording(text, { name: text, entries: [] }),
  lessons: () => api.lessons({ student: text, kind: text, state: 'open', before: text, limit: 1 }),
  lesson: () => api.lesson(text),
  series: () => api.series(text),
  picture: () => api.picture(text, 3),
  whatIf: () => api.whatIf(text, 3, {}),
  addEntry: () => api.addEntry(text, { kind: 'unnote', id: text }),
  entries: () => api.entries(text),
  sign: () => api.sign(text, { expected_entry_seq: 1, expected_inputs_sha256: text, password: text }),
  signedVersions: () => api.signedVersions(text),
  signedDifference: () => api.signedDifference(text, 1, 'now'),
  setAside: () => api.setAside(text, text),
  takeBack: () => api.takeBack(text),
  maneuvers: () => api.maneuvers({ kind: text, student: text }),
  audit: () => api.audit({ before: 1, limit: 1 }),
  verify: () => api.verify(),
  jobs: () => api.jobs(),
  remark: () => api.remark(),
};

it.each(Object.entries(calls))('val_%s is a request that the server describes', async (_name, call) => {
  await call();
  const [request] = asked;
  expect(request).toBeDefined();
  if (request === undefined) return;
  const found = operation(request.method, request.url);
  expect(found, `${request.method} ${request.url.pathname}`).toBeDefined();
  const known = (found?.parameters ?? []).filter((each) => each.in === 'query');
  for (const name of request.url.searchParams.keys()) expect(known.map((each) => each.name)).toContain(name);
  for (const each of known.filter((one) => one.required))
    expect([...request.url.searchParams.keys()]).toContain(each.name);
});

it('prop_every_change_carries_the_header_that_a_foreign_page_cannot_send', async () => {
  const headers: Record<string, string>[] = [];
  vi.stubGlobal('fetch', (_address: string, init: RequestInit) => {
    headers.push(init.headers as Record<string, string>);
    return Promise.resolve(new Response(''));
  });
  await api.signOut();
  await api.me();
  expect(headers[0]?.['X-Proofwing-Request']).toBe('1');
  expect(headers[1]?.['X-Proofwing-Request']).toBeUndefined();
});
