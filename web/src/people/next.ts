// Where to go after signing in.
import { match } from '../shared/routes';

/**
 * The page that was asked for before signing in, if it is one of ours; else the first page. Anything with a host
 * of its own (`//elsewhere`, `https:`) is refused: a link must not send people away through our sign-in.
 */
export function afterSigningIn(next: string | null): string {
  if (next === null || !next.startsWith('/') || next.startsWith('//') || next.includes('\\')) return '/';
  const [path = '/'] = next.split('?');
  const { name } = match(path);
  return name === 'notFound' || name === 'signIn' || name === 'firstRun' || name === 'invite' ? '/' : next;
}
