// Makes the demo school once; every journey gets a copy of its folder.
import { folder, open, sweep } from './program';

export default async function demoSchool(): Promise<() => Promise<void>> {
  const data = await folder('demo');
  const room = await open('demo', data, ['--machine']);
  await room.stop();
  process.env['DEMO_SCHOOL'] = data;
  return () => sweep(data);
}
