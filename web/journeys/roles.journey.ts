import { request as requests, type APIRequestContext } from '@playwright/test';
import { expect, look, PASSWORD, signIn, test } from './journey';

/** What stands in the head of every page, by role. */
const sections: Record<string, string[]> = {
  chief: ['Lessons', 'Bring in', 'Students', 'Standards', 'Aircraft', 'People', 'Re-marking', 'Audit trail'],
  instructor: ['Lessons', 'Bring in', 'Students', 'Standards', 'Aircraft'],
  student: ['Lessons', 'My record', 'Standards'],
  auditor: ['Lessons', 'Students', 'Standards', 'Aircraft', 'People', 'Audit trail'],
};

/** Pages that a role has not: they say that there is nothing. */
const closed: Record<string, string[]> = {
  instructor: ['/audit'],
  student: ['/students', '/people', '/aircraft', '/audit', '/remarking'],
  auditor: [],
};

interface Brief {
  id: string;
  student: { name: string } | null;
  demonstration: boolean;
}

async function lessonsOf(request: APIRequestContext): Promise<Brief[]> {
  const answer = await request.get('/api/v1/lessons?limit=200');
  expect(answer.status()).toBe(200);
  return (await answer.json()) as Brief[];
}

test('what each role sees, and what it cannot', async ({ visitor, room }) => {
  const { page: chief, context: asChief } = await visitor();
  await signIn(chief, 'venterby');
  await expect(chief.getByRole('navigation', { name: 'Sections' }).getByRole('link')).toHaveText(
    sections['chief'] ?? [],
  );
  await look(chief, '40-lessons-chief');
  const everything = await lessonsOf(asChief.request);
  expect(everything.length).toBeGreaterThanOrEqual(30);

  // Every page of the school, once.
  const pages: [string, string, RegExp][] = [
    ['/students', '41-students', /Students/],
    ['/people', '42-people', /People/],
    ['/aircraft', '43-aircraft', /Aircraft/],
    ['/standards', '44-standards', /Standards/],
    ['/standards/faa-private', '45-standard', /private/i],
    ['/audit', '46-audit', /Audit trail/],
    ['/remarking', '47-remarking', /Re-marking|Marking anew/i],
    ['/account', '48-account', /Account|Venterby/],
  ];
  for (const [address, name, heading] of pages) {
    await chief.goto(address);
    await expect(chief.getByRole('heading', { level: 1, name: heading })).toBeVisible();
    await expect(chief.getByText(/^Loading/)).toHaveCount(0);
    await look(chief, name);
  }
  await chief.goto('/aircraft');
  await chief.getByRole('table').getByRole('link').first().click();
  await expect(chief.getByLabel('Aircraft file (TOML)')).toBeVisible();
  await look(chief, '49-aircraft-file');

  // A student: own lessons and demonstrations, nothing else, and no sign that there is more.
  const student = await visitor();
  await signIn(student.page, 'dunnock');
  await expect(student.page.getByRole('navigation', { name: 'Sections' }).getByRole('link')).toHaveText(
    sections['student'] ?? [],
  );
  await look(student.page, '50-lessons-student');
  const own = await lessonsOf(student.context.request);
  expect(own.length).toBeGreaterThan(0);
  expect(own.length).toBeLessThan(everything.length);
  for (const lesson of own)
    expect(lesson.demonstration || lesson.student?.name === 'Tilla Dunnock').toBe(true);
  const others = everything.find(
    (lesson) => !lesson.demonstration && lesson.student !== null && lesson.student.name !== 'Tilla Dunnock',
  );
  expect(others).toBeDefined();
  // Asked for by script, as the pages never would.
  for (const part of ['', '/series', '/entries', '/signed', '/sheets.pdf', '/debrief.json', '/path.kml']) {
    const answer = await student.context.request.get(`/api/v1/lessons/${others?.id ?? ''}${part}`);
    expect(answer.status(), `a student asks for another's${part}`).toBe(404);
  }
  student.expects(404);
  await student.page.goto(`/lessons/${others?.id ?? ''}`);
  await expect(student.page.getByRole('alert')).toBeVisible();
  await look(student.page, '51-not-yours');
  await student.page.goto('/bring-in');
  await expect(student.page.getByText('Only the chief instructor and the instructors bring')).toBeVisible();
  await expect(student.page.getByRole('button', { name: 'Choose files' })).toHaveCount(0);
  await look(student.page, '52-bring-in-student');
  await student.page.getByRole('link', { name: 'My record' }).click();
  await expect(student.page.getByRole('heading', { level: 1, name: 'Tilla Dunnock' })).toBeVisible();
  await expect(student.page.getByText(/^Loading/)).toHaveCount(0);
  await look(student.page, '53-my-record');
  const record = await student.page
    .getByRole('link', { name: 'Whole record as one file' })
    .getAttribute('href');
  const zip = await student.context.request.get(record ?? '', { timeout: 120_000 });
  expect(zip.status()).toBe(200);
  expect((await zip.body()).subarray(0, 2).toString()).toBe('PK');

  // An auditor reads everything and changes nothing.
  const auditor = await visitor();
  await signIn(auditor.page, await auditorLogin(asChief.request, room.address));
  await expect(auditor.page.getByRole('navigation', { name: 'Sections' }).getByRole('link')).toHaveText(
    sections['auditor'] ?? [],
  );
  await auditor.page.goto('/bring-in');
  await expect(auditor.page.getByText(/Auditors read what came in/)).toBeVisible();
  await expect(auditor.page.getByRole('button', { name: 'Choose files' })).toHaveCount(0);
  await look(auditor.page, '54-bring-in-auditor');
  const send = await auditor.context.request.post('/api/v1/recordings?name=a.csv', {
    headers: { 'X-Proofwing-Request': '1' },
    data: Buffer.from('time,alt\n1,2\n'),
  });
  expect(send.status()).toBe(403);

  const instructor = await visitor();
  await signIn(instructor.page, 'drumwell');
  await expect(instructor.page.getByRole('navigation', { name: 'Sections' }).getByRole('link')).toHaveText(
    sections['instructor'] ?? [],
  );
  for (const [role, { page }] of Object.entries({ instructor, student, auditor })) {
    for (const address of closed[role] ?? []) {
      await page.goto(address);
      await expect(page.getByRole('heading', { level: 1 }), `${role} at ${address}`).toHaveText(
        'There is no such page',
      );
    }
  }
  await look(instructor.page, '55-no-such-page');

  // Signed out, nothing is left but the way in.
  const nobody = await visitor();
  await nobody.page.goto('/students');
  await expect(nobody.page).toHaveURL(/sign-in\?next=/);
  await look(nobody.page, '56-sign-in');
  expect((await nobody.context.request.get('/api/v1/lessons')).status()).toBe(401);
  nobody.expects(401, 422);
  await nobody.page.getByLabel('Login').fill('dunnock');
  await nobody.page.getByLabel('Password', { exact: true }).fill('not the password');
  await nobody.page.getByRole('button', { name: 'Sign in', exact: true }).click();
  await expect(nobody.page.getByRole('alert')).toBeVisible();
});

/** The demo school has no auditor: the chief instructor invites one, who joins from another browser. */
async function auditorLogin(chief: APIRequestContext, address: string): Promise<string> {
  const headers = { 'X-Proofwing-Request': '1' };
  const made = await chief.post('/api/v1/invites', { headers, data: { role: 'auditor', name: 'S. Godwit' } });
  expect(made.ok()).toBe(true);
  const { link_path } = (await made.json()) as { link_path: string };
  const other = await requests.newContext({ baseURL: address });
  const joined = await other.post(`/api/v1/invites/${link_path.split('/').at(-1) ?? ''}`, {
    headers,
    data: { login: 'godwit', name: 'S. Godwit', password: PASSWORD },
  });
  expect(joined.ok(), await joined.text()).toBe(true);
  await other.dispose();
  return 'godwit';
}
