import { expect, look, test } from './journey';

test.use({ school: 'empty' });

test('an empty school: the first account, an invite, joining, a link that works once', async ({
  visitor,
}) => {
  const { page: chief } = await visitor();
  await chief.goto('/');
  await expect(chief.getByRole('heading', { name: 'A new school' })).toBeVisible();
  await expect(chief).toHaveURL(/first-run$/);
  // The caution stands on the first screen, and again at its foot.
  await expect(chief.getByText(/A training aid for use on the ground/).first()).toBeVisible();
  await look(chief, '30-first-run');

  await chief.getByLabel('Name of the school').fill('Marsh Meadow School');
  await chief.getByLabel('Your name').fill('R. Tern');
  await chief.getByLabel('Login').fill('tern');
  await chief.getByLabel('Password', { exact: true }).fill('short');
  await chief.getByLabel('Password again').fill('short');
  // Too short: it is said, and nothing can be sent.
  await expect(chief.getByRole('button', { name: 'Make the school' })).toBeDisabled();
  await chief.getByLabel('Password', { exact: true }).fill('seven herons in fog');
  await chief.getByLabel('Password again').fill('seven herons in fog');
  await chief.getByRole('button', { name: 'Make the school' }).click();

  await expect(chief.getByRole('heading', { name: 'Lessons' })).toBeVisible();
  await expect(chief.getByText('Marsh Meadow School')).toBeVisible();
  await expect(chief.getByText('No flight has been brought in yet.')).toBeVisible();
  await look(chief, '31-empty-lessons');

  await chief.getByRole('link', { name: 'People' }).click();
  await chief.getByLabel('Name', { exact: true }).fill('P. Avocet');
  await chief.getByLabel('Role').selectOption('student');
  await chief.getByRole('button', { name: 'Make an invite' }).click();
  const field = chief.getByLabel('Link for P. Avocet to join');
  await expect(field).toBeVisible();
  await expect(chief.getByText(/It works once, until \d{1,2}\s\w+ \d{4}, \d\d:\d\d\sUTC/)).toBeVisible();
  await expect(chief.getByRole('list', { name: 'Invites not used yet' })).toContainText('P. Avocet');
  await look(chief, '32-people-invite');
  const link = await field.inputValue();

  const { page: student, expects } = await visitor();
  await student.goto(link);
  await expect(student.getByRole('heading', { name: 'Welcome to Marsh Meadow School' })).toBeVisible();
  await expect(student.getByText(/The link works once, until/)).toBeVisible();
  await look(student, '33-invite');
  await student.getByLabel('Login').fill('avocet');
  await student.getByLabel('Password', { exact: true }).fill('mud and reeds at dusk');
  await student.getByLabel('Password again').fill('mud and reeds at dusk');
  await student.getByRole('button', { name: 'Join' }).click();
  await expect(student.getByRole('heading', { name: 'My lessons' })).toBeVisible();
  await expect(student.getByText('Nothing is here yet.')).toBeVisible();

  // Used once, the link opens nothing any more.
  const { page: other, expects: otherExpects } = await visitor();
  otherExpects(404, 410, 422);
  await other.goto(link);
  await expect(other.getByRole('heading', { name: 'This link does not work' })).toBeVisible();
  await look(other, '34-invite-used');

  // An invite that is taken back is gone as well.
  await chief.getByLabel('Name', { exact: true }).fill('K. Dotterel');
  await chief.getByRole('button', { name: 'Make an invite' }).click();
  const second = await chief.getByLabel('Link for K. Dotterel to join').inputValue();
  await chief.getByRole('button', { name: /Take back.*K\. Dotterel/ }).click();
  await expect(chief.getByRole('list', { name: 'Invites not used yet' })).toHaveCount(0);
  await other.goto(second);
  await expect(other.getByRole('heading', { name: 'This link does not work' })).toBeVisible();

  // A forgotten password: the chief instructor's link, and every device signs in anew.
  await chief.reload();
  await chief.getByRole('button', { name: /Change.*P\. Avocet/ }).click();
  const dialog = chief.getByRole('dialog', { name: 'P. Avocet' });
  await dialog.getByRole('button', { name: 'Link for a new password' }).click();
  const reset = await dialog.getByLabel('Link for P. Avocet').inputValue();
  await look(chief, '35-person');
  await other.goto(reset);
  await expect(other.getByRole('heading', { name: 'Choose a new password' })).toBeVisible();
  await other.getByLabel('Password', { exact: true }).fill('longshore drift at noon');
  await other.getByLabel('Password again').fill('longshore drift at noon');
  await other.getByRole('button', { name: 'Take this password' }).click();
  await expect(other.getByRole('heading', { name: 'My lessons' })).toBeVisible();

  // The device from before is signed out: the next request says so, over the page.
  expects(401);
  await student.getByRole('link', { name: 'Standards' }).click();
  await expect(student.getByRole('dialog', { name: 'Sign in again' })).toBeVisible();
  await look(student, '36-signed-out');
  await student.getByLabel('Password', { exact: true }).fill('longshore drift at noon');
  await student.getByRole('button', { name: 'Sign in and go on' }).click();
  await expect(student.getByRole('dialog', { name: 'Sign in again' })).toHaveCount(0);
});
