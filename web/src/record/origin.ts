// Where a limit comes from, in words.

const words: Record<string, string> = {
  published: 'published standard',
  assumed: 'assumed: the standard gives no number',
  briefed: 'briefed',
  aircraft_file: 'aircraft file',
  school: 'the school’s own',
};

export function originWords(origin: string): string {
  return words[origin] ?? origin.replaceAll('_', ' ');
}
