// Every page's address. Names are used in code; addresses stand here only.

export const routes = {
  lessons: '/',
  signIn: '/sign-in',
  firstRun: '/first-run',
  invite: '/invite/:token',
  bringIn: '/bring-in',
  room: '/lessons/:id',
  compare: '/lessons/:id/compare',
  word: '/lessons/:id/word',
  students: '/students',
  student: '/students/:id',
  people: '/people',
  aircraft: '/aircraft',
  aircraftFile: '/aircraft/:id',
  standards: '/standards',
  standard: '/standards/:id',
  audit: '/audit',
  remarking: '/remarking',
  account: '/account',
} as const;

export type RouteName = keyof typeof routes;

/** The names that stand after a colon in an address. */
type ParamNames<P extends string> = P extends `${string}:${infer Name}/${infer Rest}`
  ? Name | ParamNames<Rest>
  : P extends `${string}:${infer Name}`
    ? Name
    : never;

export type RouteParams<N extends RouteName> = Record<ParamNames<(typeof routes)[N]>, string>;

export type Query = Record<string, string | number | null | undefined>;

/** A matched address: `name` tells which parameters there are. */
export type Route =
  { [N in RouteName]: { name: N; params: RouteParams<N> } }[RouteName] | { name: 'notFound'; params: object };

/** `?a=1&b=2` of what has a value, or nothing. */
export function queryText(query: Query): string {
  const search = new URLSearchParams();
  for (const [key, value] of Object.entries(query)) {
    if (value !== null && value !== undefined && value !== '') search.set(key, String(value));
  }
  const text = search.toString();
  return text === '' ? '' : `?${text}`;
}

/** The address of a page: `href('room', { id }, { m: 3 })`. */
export function href<N extends RouteName>(
  name: N,
  ...[params, query]: ParamNames<(typeof routes)[N]> extends never
    ? [params?: Record<string, never>, query?: Query]
    : [params: RouteParams<N>, query?: Query]
): string {
  const values = (params ?? {}) as Record<string, string>;
  const path = routes[name].replace(/:(\w+)/g, (_whole, key: string) =>
    encodeURIComponent(values[key] ?? ''),
  );
  return path + queryText(query ?? {});
}

/** Which page an address means. */
export function match(pathname: string): Route {
  const parts = split(pathname);
  for (const [name, pattern] of Object.entries(routes)) {
    const params = matchParts(split(pattern), parts);
    if (params !== null) return { name, params } as Route;
  }
  return { name: 'notFound', params: {} };
}

function split(path: string): string[] {
  return path.split('/').filter((part) => part !== '');
}

function matchParts(pattern: string[], parts: string[]): Record<string, string> | null {
  if (pattern.length !== parts.length) return null;
  const params: Record<string, string> = {};
  for (const [index, want] of pattern.entries()) {
    const have = parts[index] ?? '';
    if (want.startsWith(':')) {
      try {
        params[want.slice(1)] = decodeURIComponent(have);
      } catch {
        return null; // A broken %-sequence is no address of ours.
      }
    } else if (want !== have) return null;
  }
  return params;
}
