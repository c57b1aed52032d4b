import type { Page } from '@playwright/test';
import { readFile } from 'node:fs/promises';
import { drawn, expect, look, PASSWORD, signIn, test } from './journey';
import { run } from './program';
import { asWritten } from './recordings';

test('a whole lesson: in, corrected, changed, signed, read, answered, acknowledged, printed, proved', async ({
  visitor,
  room,
}) => {
  const { page } = await visitor();

  await test.step('the instructor brings the recording in and says who flew', async () => {
    await signIn(page, 'holloweth');
    await page.getByRole('link', { name: 'Bring in', exact: true }).click();
    await page.getByLabel('Files to bring in').setInputFiles([await asWritten()]);
    const file = page.getByRole('listitem', { name: /^lesson\.csv\.gz/ });
    await expect(file).toContainText('here: one\u00a0lesson', { timeout: 60_000 });
    await file.getByLabel(/^student/).selectOption({ label: 'Kesti Lapwing' });
    await file.getByRole('button', { name: 'Set it so' }).click();
    await expect(file).toContainText('Kesti Lapwing with Caspin Holloweth');
    await file.getByRole('link').first().click();
    await drawn(page);
  });
  const lesson = new URL(page.url()).pathname;

  await test.step('a boundary is dragged, and the maneuver is marked anew at once', async () => {
    const stall = maneuvers(page)
      .getByRole('button', { name: /Power-off stall/ })
      .first();
    await stall.click();
    const tools = page.getByRole('group', { name: 'Your word' });
    await tools.getByRole('button', { name: /^Boundaries/ }).click();
    await look(page, '10-room-boundaries');
    const start = page.getByRole('slider', { name: 'Start of the maneuver, on the height of the flight' });
    const was = Number(await start.getAttribute('aria-valuenow'));
    await start.scrollIntoViewIfNeeded();
    const box = (await start.boundingBox()) ?? { x: 0, y: 0, width: 0, height: 0 };
    const at = { x: box.x + box.width / 2, y: box.y + box.height / 2 };
    const entry = page.waitForResponse(
      (answer) => answer.url().endsWith('/entries') && answer.request().method() === 'POST',
    );
    await page.mouse.move(at.x, at.y);
    await page.mouse.down();
    await page.mouse.move(at.x - 4, at.y, { steps: 2 });
    await page.mouse.move(at.x - 9, at.y, { steps: 3 });
    await page.mouse.up();
    expect((await entry).status()).toBe(200);
    await expect(page.getByText('Boundaries set.', { exact: true })).toBeVisible();
    await expect(
      maneuvers(page)
        .getByRole('listitem')
        .filter({ hasText: /Power-off stall/ })
        .first(),
    ).toContainText('bounds set by a person');
    const now = Number(await start.getAttribute('aria-valuenow'));
    // The flight of 18 minutes is drawn on some 1,350 px: nine of them are seven or eight seconds.
    expect(was - now).toBeGreaterThan(4);
    expect(was - now).toBeLessThan(20);
    await tools.getByRole('button', { name: /^Boundaries/ }).click();
    await look(page, '11-room-corrected');
  });

  await test.step('a mark is changed with a reason', async () => {
    await page.getByRole('group', { name: 'Your word' }).getByRole('link', { name: /^Sign/ }).click();
    await expect(page).toHaveURL(new RegExp(`${lesson}/word`));
    await look(page, '12-word');
    await page
      .getByRole('button', { name: /^change.*Power-off stall/ })
      .first()
      .click();
    const dialog = page.getByRole('dialog');
    await expect(dialog.getByText(/The program says/)).toBeVisible();
    await dialog.getByRole('radio', { checked: false }).first().check();
    // The recording decides this mark: without a reason nothing is kept.
    await dialog.getByRole('button', { name: /^Change to/ }).click();
    await expect(dialog.getByText('say what you saw')).toBeVisible();
    await look(page, '13-mark');
    await dialog.getByLabel(/^Why/).fill('Seen from the right seat: the nose was held by the trim.');
    await dialog.getByRole('button', { name: /^Change to/ }).click();
    await expect(dialog).toHaveCount(0);
    await expect(
      page.getByText('“Seen from the right seat: the nose was held by the trim.”').first(),
    ).toBeVisible();
  });

  await test.step('summed up and signed', async () => {
    await page.getByLabel('How it went').fill('Entries calm. The recovery waits for the nose.');
    await page.getByLabel('Next time').fill('Power first, then the flaps in steps.');
    await page.getByRole('button', { name: 'Keep', exact: true }).click();
    await expect(page.getByText(/^Kept by Caspin Holloweth/)).toBeVisible();
    await sign(page, 'Caspin Holloweth', 1, '14-sign');
  });

  const student = await visitor();
  await test.step('the student reads, replies and acknowledges', async () => {
    await signIn(student.page, 'lapwing');
    await expect(student.page.getByRole('link', { name: /^to read\s*:/ }).first()).toBeVisible();
    await student.page.goto(`${lesson}/word`);
    await expect(student.page.getByText('Entries calm. The recovery waits for the nose.')).toBeVisible();
    await expect(student.page.getByText(/the nose was held by the trim/).first()).toBeVisible();
    // Reading is all a student can do to the marks.
    await expect(
      student.page.getByRole('main').getByRole('button', { name: /^(?:change|confirm|Sign)/i }),
    ).toHaveCount(0);
    await student.page.getByLabel('Your reply').fill('I looked at the flap lever. Next time the nose.');
    await student.page.getByRole('button', { name: 'Reply', exact: true }).click();
    await expect(student.page.getByRole('region', { name: 'Replies' })).toContainText(
      'I looked at the flap lever',
    );
    await look(student.page, '15-word-student');
    await student.page.getByRole('button', { name: 'I have read version 1' }).click();
    await expect(student.page.getByText(/Read and acknowledged by the student/)).toBeVisible();
    await student.page.goto(lesson);
    await drawn(student.page);
    await expect(student.page.getByRole('group', { name: 'Your word' })).toHaveCount(0);
    await look(student.page, '16-room-student');
  });

  await test.step('a later change is another version; what was signed stays byte for byte', async () => {
    const first = await (await page.request.get(`/api/v1${lesson}/signed/1`)).body();
    await page.reload();
    await expect(page.getByRole('region', { name: 'Replies' })).toContainText('I looked at the flap lever');
    await page.getByLabel('Next time').fill('Power first, then the flaps in steps, then the climb.');
    await page.getByRole('button', { name: 'Keep', exact: true }).click();
    await expect(page.getByText(/^Kept by Caspin Holloweth/)).toBeVisible();
    await sign(page, 'Caspin Holloweth', 2);
    await page.getByText('Different from version 1').click();
    await expect(page.getByRole('region', { name: 'What was signed' })).toContainText(
      /The lesson.s summary was changed/,
    );
    await page.getByRole('button', { name: /Count the digest here.*version 1/ }).click();
    await expect(page.getByRole('region', { name: 'What was signed' })).toContainText(
      'bytes give this digest',
    );
    expect(await (await page.request.get(`/api/v1${lesson}/signed/1`)).body()).toEqual(first);
    await look(page, '17-two-versions');
  });

  await test.step('printed: the files, and the page itself', async () => {
    for (const name of [/^Lesson on one page, PDF/, /^One page a maneuver, PDF/, /^Both together, PDF/]) {
      const coming = page.waitForEvent('download');
      await page.getByRole('link', { name }).click();
      const bytes = await readFile(await (await coming).path());
      expect(bytes.subarray(0, 5).toString(), String(name)).toBe('%PDF-');
      expect(bytes.length, String(name)).toBeGreaterThan(10_000);
    }
    await page.goto(lesson);
    await drawn(page);
    const printed = await page.pdf({ format: 'Letter', preferCSSPageSize: true });
    expect(printed.subarray(0, 5).toString()).toBe('%PDF-');
  });

  await test.step('the record holds, and says so to the auditor of it', async () => {
    const said = await run('verify', '--data', room.data);
    expect(said).toContain('The record holds.');
    const { page: chief } = await visitor();
    await signIn(chief, 'venterby');
    await chief.getByRole('link', { name: 'Audit trail' }).click();
    await expect(chief.getByRole('main')).toContainText('Caspin Holloweth');
  });
});

const maneuvers = (page: Page) => page.getByRole('navigation', { name: 'Maneuvers', exact: true });

async function sign(page: Page, name: string, version: number, picture?: string): Promise<void> {
  await page.getByRole('region', { name: 'What remains' }).getByRole('button', { name: /^Sign/ }).click();
  const dialog = page.getByRole('dialog');
  await expect(dialog.getByText(`You sign this debrief as it stands below, as ${name}`)).toBeVisible();
  if (picture !== undefined) await look(page, picture);
  await dialog.getByLabel('Your password').fill(PASSWORD);
  await dialog.getByRole('button', { name: /^Sign (?:as|it)/ }).click();
  const signed = page.getByRole('dialog', { name: `Signed: version ${String(version)}` });
  await expect(signed).toContainText('SHA-256 of the bytes that were signed');
  await signed.getByRole('button', { name: 'Close' }).click();
  await expect(page.getByRole('heading', { name: new RegExp(`^Version ${String(version)}`) })).toBeVisible();
}
