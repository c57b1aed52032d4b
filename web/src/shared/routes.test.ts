import { describe, expect, it } from 'vitest';
import { href, match, queryText, routes, type RouteName } from './routes';

describe('addresses', () => {
  it('prop_every_address_leads_back_to_its_name', () => {
    for (const name of Object.keys(routes) as RouteName[]) {
      const path = routes[name].replace(/:\w+/g, '0193-ab');
      expect(match(path).name).toBe(name);
    }
  });

  it('prop_what_href_writes_match_reads', () => {
    const path = href('room', { id: 'a/b ü%' });
    expect(match(path)).toEqual({ name: 'room', params: { id: 'a/b ü%' } });
  });

  it('prop_nothing_unknown_matches', () => {
    for (const path of ['/lessons', '/lessons/1/2/3', '/nowhere', '/students/%E0%A4%A']) {
      expect(match(path).name).toBe('notFound');
    }
    expect(match('/students/').name).toBe('students');
  });

  it('prop_empty_query_parts_are_left_out', () => {
    expect(queryText({ m: 3, t: 812.4, with: null, kind: '' })).toBe('?m=3&t=812.4');
    expect(href('lessons', {}, { student: 'x&y' })).toBe('/?student=x%26y');
    expect(href('lessons')).toBe('/');
  });
});
