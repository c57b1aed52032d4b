import type { Locator, Page } from '@playwright/test';
import { mkdir, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { expect, look, PASSWORD, signIn, test } from './journey';
import { asWritten, daysLater, noRecording, withoutNames, withoutTime } from './recordings';

/** The row of a file on its way. */
const row = (page: Page, name: string): Locator =>
  page.getByRole('listitem', { name: new RegExp(`^${name}`) });

test('bringing in: several at once, the same twice, one refused, columns and people confirmed', async ({
  visitor,
}) => {
  const { page, context, expects } = await visitor();
  await signIn(page, 'holloweth');
  await page.getByRole('link', { name: 'Bring in', exact: true }).click();
  await expect(page.getByRole('heading', { name: 'Drop recordings on this page' })).toBeVisible();
  const files = page.getByLabel('Files to bring in');

  await files.setInputFiles([
    await asWritten(),
    await withoutNames('club.csv'),
    await withoutTime('no-clock.csv'),
    noRecording,
    { name: 'empty.csv', mimeType: 'text/csv', buffer: Buffer.alloc(0) },
  ]);
  await expect(page.getByRole('heading', { name: /^Five files/ })).toBeVisible();

  // What was understood, and the lesson that it made, with guesses that are called so.
  const lesson = row(page, 'lesson.csv.gz');
  await expect(lesson).toContainText('here: one\u00a0lesson', { timeout: 60_000 });
  await expect(lesson).toContainText('11,054 rows, 10 a second');
  await expect(lesson).toContainText('4\u00a0September 2025, 14:04:43–14:23:08\u00a0UTC');
  await expect(lesson).toContainText(/Position, air data, attitude/);
  await lesson.getByText('All 28 columns used').click();
  await expect(lesson.getByRole('row', { name: /airspeed_ind.*indicated airspeed, kt/ })).toBeVisible();
  await expect(lesson.getByLabel('student, guessed')).toBeVisible();
  await lesson.getByLabel('student, guessed').selectOption({ label: 'Kesti Lapwing' });
  await lesson.getByRole('button', { name: 'Set it so' }).click();
  await expect(lesson).toContainText('Kesti Lapwing with Caspin Holloweth');
  await expect(lesson.getByRole('button', { name: 'That is right' })).toHaveCount(0);

  // Nothing of these can be used: what, where, how to mend.
  await expect(row(page, 'notes.txt')).toContainText('No table of numbers was found');
  await expect(row(page, 'notes.txt')).toContainText('kept, not read');
  await expect(row(page, 'empty.csv')).toContainText(
    'empty.csv is empty. Copy it from the recorder again.'.slice(0, 19),
  );
  const noClock = row(page, 'no-clock.csv');
  await expect(noClock).toContainText(/No column of the table is a time \(line \d+\)/);
  await expect(noClock.getByRole('region', { name: 'First lines of the file' })).toContainText('lat,lon');
  await noClock.getByLabel('Column of the time').fill('no such column');
  expects(422);
  await noClock.getByRole('button', { name: 'Read it anew like this' }).click();
  await expect(noClock).toContainText(
    'The map names column "no such column", which the table does not have (line 2).',
  );
  await expect(noClock).toContainText('Name a column as the file does, or by number as #3.');
  // Said once, at its field.
  await expect(noClock.getByRole('alert')).toHaveCount(0);

  // Unsure: values and reasons beside each column, one column given its meaning, read anew.
  const club = row(page, 'club.csv');
  await expect(club).toContainText('here, to confirm', { timeout: 60_000 });
  await expect(club.getByRole('heading', { name: 'How its columns are read' })).toBeVisible();
  await look(page, '70-bring-in');
  const all = club.getByRole('button', { name: /Show all \d+ columns/ });
  if (await all.isVisible()) await all.click();
  const speed = club.getByLabel('What value 4 is');
  await expect(club.getByRole('row', { name: /value 4/ })).toContainText(/\d/);
  await speed.selectOption({ label: 'calibrated airspeed' });
  await club.getByLabel('Unit of value 4').selectOption('kt');
  await club.getByLabel('Name for this kind of file').fill('club logger');
  await club.getByRole('button', { name: 'Read it anew like this' }).click();
  await expect(club).toContainText('“club logger”', { timeout: 60_000 });
  await expect(club).toContainText('here: one\u00a0lesson');
  await club.getByText(/columns used/).click();
  await expect(club.getByRole('row', { name: /value 4.*calibrated airspeed, kt/ })).toContainText(
    'given by the map',
  );
  await club.getByRole('button', { name: 'That is right' }).click();
  await expect(club.getByRole('button', { name: /^Change/ })).toBeVisible();

  // The same bytes under another name: recognized, and nothing is made twice.
  const before = await lessons(page);
  await files.setInputFiles([await asWritten('copy of the card.csv.gz')]);
  const copy = row(page, 'copy of the card.csv.gz');
  await expect(copy).toContainText('here before: one\u00a0lesson', { timeout: 60_000 });
  await expect(copy).toContainText(/The same bytes came in on .* from Caspin Holloweth as\s+lesson\.csv\.gz/);
  expect(await lessons(page)).toBe(before);

  // What came in stands below, newest first.
  const arrivals = page.getByRole('region', { name: 'What came in' });
  await expect(arrivals.getByRole('listitem').filter({ hasText: 'club.csv' })).toBeVisible();
  await arrivals.getByRole('button', { name: 'notes.txt' }).click();
  await expect(arrivals).toContainText('No table of numbers was found');
  await look(page, '71-bring-in-done');

  // The session ends while a file is dropped: it waits, and goes on after signing in over the page.
  await context.request.delete('/api/v1/session', { headers: { 'X-Proofwing-Request': '1' } });
  expects(401);
  await files.setInputFiles([await daysLater(9, 'next-week.csv.gz')]);
  const late = row(page, 'next-week.csv.gz');
  const again = page.getByRole('dialog', { name: 'Sign in again' });
  await expect(again).toBeVisible();
  await expect(late).toContainText('waits until you are signed in');
  await again.getByLabel('Password', { exact: true }).fill(PASSWORD);
  await again.getByRole('button', { name: 'Sign in and go on' }).click();
  await expect(late).toContainText('here: one\u00a0lesson', { timeout: 60_000 });
  // The last lesson of this instructor is what was just set: that student is guessed now.
  await late.getByRole('link').first().click();
  await expect(page).toHaveURL(/\/lessons\/[0-9a-f-]{36}/);
});

test('a file is dropped anywhere on the page; of a folder, what is no recording is named and not sent', async ({
  visitor,
  room,
}) => {
  const { page } = await visitor();
  await signIn(page, 'venterby');
  await page.goto('/bring-in');
  await expect(page.getByRole('heading', { name: 'Drop recordings on this page' })).toBeVisible();
  const recording = await daysLater(30, 'dropped.csv.gz');
  const data = await page.evaluateHandle(
    ({ name, base64 }) => {
      const bytes = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
      const transfer = new DataTransfer();
      transfer.items.add(new File([bytes], name));
      return transfer;
    },
    { name: recording.name, base64: recording.buffer.toString('base64') },
  );
  await page.dispatchEvent('body', 'dragenter', { dataTransfer: data });
  await expect(page.getByRole('heading', { name: 'Let go to bring them in' })).toBeVisible();
  await page.dispatchEvent('body', 'drop', { dataTransfer: data });
  await expect(row(page, 'dropped.csv.gz')).toContainText('here: one\u00a0lesson', { timeout: 60_000 });
  await expect(page.getByRole('heading', { name: 'Drop recordings on this page' })).toBeVisible();

  const card = path.join(room.folder, 'card');
  await mkdir(path.join(card, 'log'), { recursive: true });
  const inside = await daysLater(31, 'inside.csv.gz');
  await writeFile(path.join(card, 'log', inside.name), inside.buffer);
  await writeFile(path.join(card, 'photo.jpg'), Buffer.from([0xff, 0xd8, 0xff]));
  await page.getByLabel('Folder to bring in').setInputFiles(card);
  await expect(
    page.getByText('Not sent, as they are no recordings by their names: photo.jpg.'),
  ).toBeVisible();
  await expect(row(page, 'card/log/inside.csv.gz')).toContainText('here: one\u00a0lesson', {
    timeout: 60_000,
  });
});

async function lessons(page: Page): Promise<number> {
  const answer = await page.request.get('/api/v1/lessons?limit=200');
  return ((await answer.json()) as unknown[]).length;
}
