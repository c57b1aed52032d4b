// The same lesson without a mouse: only keys are pressed. The system's own window for choosing a file lies outside.
import type { Locator, Page } from '@playwright/test';
import { drawn, expect, PASSWORD, test } from './journey';
import { asWritten } from './recordings';

/** Tabs until something has the focus, as a person would. */
async function tabTo(page: Page, wanted: Locator, most = 160, back = false): Promise<void> {
  await expect(wanted).toBeVisible();
  for (let pressed = 0; pressed < most; pressed += 1) {
    if (await wanted.evaluate((element) => element === document.activeElement)) {
      // A focus that cannot be seen is none.
      const outline = await wanted.evaluate((element) => getComputedStyle(element).outlineStyle);
      expect(outline, 'the focus is drawn').not.toBe('none');
      return;
    }
    await page.keyboard.press(back ? 'Shift+Tab' : 'Tab');
  }
  throw new Error(`${String(wanted)} was not reached with ${String(most)} presses of Tab`);
}

async function press(page: Page, wanted: Locator, key = 'Enter'): Promise<void> {
  await tabTo(page, wanted);
  await page.keyboard.press(key);
}

async function signInByKeys(page: Page, login: string): Promise<void> {
  await page.goto('/sign-in');
  await tabTo(page, page.getByLabel('Login'));
  await page.keyboard.type(login);
  await page.keyboard.press('Tab');
  await page.keyboard.type(PASSWORD);
  await page.keyboard.press('Enter');
  await expect(page.getByRole('navigation', { name: 'Sections' })).toBeVisible();
}

test('a lesson by keyboard alone', async ({ visitor }) => {
  const { page } = await visitor();
  await signInByKeys(page, 'holloweth');
  await press(page, page.getByRole('link', { name: 'Bring in', exact: true }));
  await expect(page.getByRole('heading', { level: 1, name: 'Bring in' })).toBeVisible();
  const chooser = page.waitForEvent('filechooser');
  await press(page, page.getByRole('button', { name: 'Choose files' }));
  await (await chooser).setFiles([await asWritten()]);
  const file = page.getByRole('listitem', { name: /^lesson\.csv\.gz/ });
  await expect(file).toContainText('here: one\u00a0lesson', { timeout: 60_000 });
  await tabTo(page, file.getByLabel(/^student/));
  await page.keyboard.type('Kesti');
  await press(page, file.getByRole('button', { name: /^(?:Set it so|That is right)$/ }));
  await expect(file).toContainText('Kesti Lapwing with Caspin Holloweth');
  await tabTo(page, file.getByRole('link').first(), 60, true);
  await page.keyboard.press('Enter');
  await drawn(page);
  const lesson = new URL(page.url()).pathname;

  // The sheet of keys, and out of it.
  await page.keyboard.press('?');
  await expect(page.getByRole('dialog')).toContainText('cursor by 0.1 s');
  await page.keyboard.press('Escape');
  await expect(page.getByRole('dialog')).toHaveCount(0);

  // The cursor, an event, the next maneuver.
  await page.keyboard.press('.');
  await page.keyboard.press('Shift+ArrowRight');
  const list = page.getByRole('navigation', { name: 'Maneuvers', exact: true });
  await expect(list.getByRole('button').first()).toBeVisible();
  const stall = list.getByRole('button', { name: /Power-off stall/ }).first();
  for (let at = 0; at < 12 && (await stall.getAttribute('aria-current')) !== 'true'; at += 1)
    await page.keyboard.press('ArrowDown');
  await expect(stall).toHaveAttribute('aria-current', 'true');

  // A boundary: B, Tab to the bracket, three seconds earlier, Enter.
  await page.keyboard.press('b');
  const start = page.getByRole('slider', { name: /^Start of the maneuver, on the height/ });
  const was = Number(await start.getAttribute('aria-valuenow'));
  await tabTo(page, start, 260);
  for (let second = 0; second < 3; second += 1) await page.keyboard.press('Shift+ArrowLeft');
  expect(was - Number(await start.getAttribute('aria-valuenow'))).toBeCloseTo(3, 1);
  await page.keyboard.press('Enter');
  await expect(page.getByText('Boundaries set.', { exact: true })).toBeVisible();
  await page.keyboard.press('Escape');

  // A mark that only a person can judge: J opens the next, the arrows choose, Enter keeps.
  await page.keyboard.press('j');
  const dialog = page.getByRole('dialog');
  await expect(dialog.getByText(/Only a person can judge/)).toBeVisible();
  await page.keyboard.press('Space');
  await page.keyboard.press('Enter');
  await expect(dialog).toHaveCount(0);

  // The word: the first that is open, answers by figure, a reason, summary, signature.
  await press(page, page.getByRole('group', { name: 'Your word' }).getByRole('link', { name: /^Sign/ }));
  await expect(page).toHaveURL(new RegExp(`${lesson}/word`));
  await expect(page.getByRole('heading', { name: 'Yours to judge' })).toBeVisible();
  await page.keyboard.press('j');
  const unsaid = page.getByText(/\d+ of \d+ still unsaid/).first();
  const before = await unsaid.textContent();
  await page.keyboard.press('1');
  await expect(unsaid).not.toHaveText(before ?? '');
  await press(page, page.getByRole('button', { name: /^change.*Power-off stall/ }).first());
  await expect(dialog.getByText(/The program says/)).toBeVisible();
  await page.keyboard.press('ArrowDown');
  await tabTo(page, dialog.getByLabel(/^Why/), 20);
  await page.keyboard.type('Counted aloud in the cockpit.');
  await page.keyboard.press('Enter');
  await expect(dialog).toHaveCount(0);
  await expect(page.getByText('“Counted aloud in the cockpit.”').first()).toBeVisible();
  await tabTo(page, page.getByLabel('How it went'), 400);
  await page.keyboard.type('Flown without haste.');
  await page.keyboard.press('Control+Enter');
  await expect(page.getByText(/^Kept by Caspin Holloweth/)).toBeVisible();
  const sign = page.getByRole('region', { name: 'What remains' }).getByRole('button', { name: /^Sign/ });
  await tabTo(page, sign, 400, true);
  await page.keyboard.press('Enter');
  await expect(dialog.getByLabel('Your password')).toBeFocused();
  await page.keyboard.type(PASSWORD);
  await page.keyboard.press('Enter');
  await expect(page.getByRole('dialog', { name: 'Signed: version 1' })).toBeVisible();
  await page.keyboard.press('Escape');
  await expect(page.getByRole('heading', { name: /^Version 1/ })).toBeVisible();

  const { page: student } = await visitor();
  await signInByKeys(student, 'lapwing');
  await press(student, student.getByRole('link', { name: /^to read\s*:/ }).first());
  await drawn(student);
  await press(student, student.getByRole('link', { name: 'Reply and acknowledge' }));
  await expect(student).toHaveURL(new RegExp(`${lesson}/word`));
  await tabTo(student, student.getByLabel('Your reply'), 200);
  await student.keyboard.type('Understood.');
  await student.keyboard.press('Control+Enter');
  await expect(student.getByRole('region', { name: 'Replies' })).toContainText('Understood.');
  await press(student, student.getByRole('button', { name: 'I have read version 1' }));
  await expect(student.getByText(/Read and acknowledged by the student/)).toBeVisible();
});
