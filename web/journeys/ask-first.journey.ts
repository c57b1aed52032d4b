import { drawn, expect, look, signIn, test } from './journey';

interface Brief {
  id: string;
  demonstration: boolean;
  student: { name: string } | null;
  flown: { kind: string; count: number }[];
}

test('asked first: no number is on the page until the student has answered, then both stand side by side', async ({
  visitor,
}) => {
  const { page } = await visitor();
  await signIn(page, 'dunnock');
  const lessons = (await (await page.request.get('/api/v1/lessons?limit=200')).json()) as Brief[];
  const own = lessons.find(
    (lesson) => !lesson.demonstration && lesson.flown.some(({ kind }) => kind === 'power_off_stall'),
  );
  expect(own, 'a lesson with a power-off stall').toBeDefined();
  const view = (await (await page.request.get(`/api/v1/lessons/${own?.id ?? ''}`)).json()) as {
    debrief: { maneuvers: { number: number; kind: string }[] };
    word: { answers: { number: number }[] };
  };
  const stall = view.debrief.maneuvers.find(
    ({ kind, number }) =>
      kind === 'power_off_stall' && !view.word.answers.some((answer) => answer.number === number),
  );
  expect(stall, 'one that nobody answered').toBeDefined();
  await page.goto(`/lessons/${own?.id ?? ''}?m=${String(stall?.number ?? 1)}`);
  await drawn(page);
  const sheet = page.getByRole('article');
  await expect(sheet).toContainText(/\d\s?ft/);

  await page.getByRole('button', { name: /^Ask first/ }).click();
  await expect(sheet).toContainText('Say first what you think happened.');
  // The numbers are off the page: not drawn, and not in what is read aloud.
  expect(await sheet.locator('figure, canvas').count()).toBe(0);
  const words = (await sheet.innerText()).replaceAll('\u00a0', ' ');
  expect(words).not.toMatch(/lost|±/i);
  await look(page, '20-ask-first');

  const keep = page.getByRole('button', { name: 'Keep it and show the sheet' });
  await expect(keep).toBeDisabled();
  await sheet.getByRole('textbox').first().fill('250');
  await sheet.getByRole('textbox').first().press('Tab');
  const limits = sheet.getByRole('group', { name: 'Which limit broke?' });
  await limits.getByRole('checkbox').first().check();
  await sheet.getByRole('group', { name: 'Why?' }).getByRole('checkbox').first().check();
  await sheet.getByLabel('In your own words').fill('I waited for the nose.');
  await keep.click();
  await expect(sheet.getByText(/you said 250/).first()).toBeAttached();
  await expect(sheet.getByText(/recorded/).first()).toBeAttached();
  await expect(sheet).toContainText('“I waited for the nose.”');
  await look(page, '21-answered');

  // It is kept, and the instructor sees it.
  const { page: instructor } = await visitor();
  await signIn(instructor, 'venterby');
  await instructor.goto(`/lessons/${own?.id ?? ''}?m=${String(stall?.number ?? 1)}`);
  await drawn(instructor);
  await instructor.getByText('Asked first, then shown').click();
  await expect(instructor.getByText('“I waited for the nose.”')).toBeVisible();
  await expect(instructor.getByText(/Answered by Tilla Dunnock/)).toBeVisible();
});
