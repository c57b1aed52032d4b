import { drawn, expect, look, signIn, test } from './journey';

interface Brief {
  id: string;
  title: string;
  flown: { kind: string; count: number }[];
}

test('two maneuvers of a kind side by side, aligned by a moment', async ({ visitor }) => {
  const { page } = await visitor();
  await signIn(page, 'holloweth');
  const all = (await (await page.request.get('/api/v1/lessons?limit=200')).json()) as Brief[];
  const twice = all.find((lesson) =>
    lesson.flown.some(({ kind, count }) => kind === 'power_off_stall' && count >= 2),
  );
  expect(twice, 'a lesson with two power-off stalls').toBeDefined();
  await page.goto(`/lessons/${twice?.id ?? ''}`);
  await drawn(page);
  await look(page, '60-room');
  const list = page.getByRole('navigation', { name: 'Maneuvers', exact: true });
  await list
    .getByRole('button', { name: /Power-off stall/ })
    .first()
    .click();
  await page
    .getByRole('link', { name: /compare/i })
    .first()
    .click();
  await expect(page.getByRole('heading', { level: 1, name: /Power-off stall.*compared/ })).toBeVisible();
  await expect(page.getByText('Choose one of the same kind.')).toBeVisible();
  await look(page, '61-compare-choose');

  // Another one of this lesson.
  const chooser = page.getByRole('main').locator('details');
  await chooser.getByRole('region').first().getByRole('link').first().click();
  await expect(page.getByLabel('aligned by')).toBeVisible();
  const timing = page.getByRole('table', { name: /^Timing, from/ });
  const marks = page.getByRole('table', { name: /^Marks and worst values/ });
  await expect(timing).toBeVisible();
  await expect(marks.getByRole('row').nth(1)).toBeVisible();
  // The moment that both are aligned by differs by nothing; another alignment changes that.
  const moments = page.getByLabel('aligned by').getByRole('option');
  const names = await moments.allTextContents();
  expect(names.length).toBeGreaterThan(1);
  const other = names.find((name) => name !== '' && !name.startsWith('the')) ?? names.at(-1) ?? '';
  await page.getByLabel('aligned by').selectOption({ label: other });
  await expect(page.getByRole('table', { name: `Timing, from ${other}` })).toBeVisible();
  const zero = timing
    .getByRole('row', { name: new RegExp(other.replace(/[()]/g, '.'), 'i') })
    .getByRole('cell');
  await expect(zero.last()).toHaveText('0');

  await look(page, '62-compare');
  await page.getByRole('button', { name: 'side by side' }).click();
  await expect(page.getByRole('button', { name: 'side by side' })).toHaveAttribute('aria-pressed', 'true');
  await look(page, '63-compare-beside');
  // The key does the same.
  await page.keyboard.press('o');
  await expect(page.getByRole('button', { name: 'over each other' })).toHaveAttribute('aria-pressed', 'true');

  // One of another lesson: its date stands beside it.
  await page.getByText('Compare with another one').click();
  await chooser.getByRole('region').last().getByRole('link').first().click();
  await expect(page).not.toHaveURL(new RegExp(`with=${twice?.id ?? ''}`));
  await expect(page).toHaveURL(/with=[0-9a-f-]{36}(?::|%3A)\d+/);
  await expect(timing).toBeVisible();
  await page.getByRole('link', { name: 'Back to the debrief' }).click();
  await drawn(page);
});
