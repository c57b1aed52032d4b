import { truncate, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { expect, look, signIn, test } from './journey';
import { daysLater } from './recordings';

test.use({ watched: true });

test('a card reader fills the watched folder: what comes in and what does not appears by itself', async ({
  visitor,
  room,
}) => {
  const { page } = await visitor();
  await signIn(page, 'holloweth');
  await page.goto('/bring-in');
  const arrivals = page.getByRole('region', { name: 'What came in' });
  await expect(arrivals.getByRole('listitem').first()).toBeVisible();

  const { name, buffer } = await daysLater(60, 'card-0007.csv.gz');
  await writeFile(path.join(room.folder, name), buffer);
  const arrived = arrivals.getByRole('listitem').filter({ hasText: name });
  await expect(arrived).toContainText('from the watched folder', { timeout: 90_000 });
  await expect(arrived).toContainText('Caspin Holloweth');
  await arrived.getByRole('button', { name }).click();
  await expect(arrived.getByRole('button', { name: 'That is right' })).toBeVisible();
  await arrived.getByRole('button', { name: 'That is right' }).click();
  await expect(arrived.getByRole('button', { name: /^Change/ })).toBeVisible();

  // More than a recording may have (a hole without bytes on disk): refused, with how to mend it.
  const huge = path.join(room.folder, 'huge.csv');
  await writeFile(huge, '');
  await truncate(huge, 513 * 1024 * 1024);
  const refused = arrivals.getByRole('listitem').filter({ hasText: 'huge.csv' });
  await expect(refused).toContainText('refused: it is larger than 512 MB; pack it with gzip', {
    timeout: 90_000,
  });
  await look(page, '72-watched-folder');
});
