import { describe, expect, it } from 'vitest';
import { Watch } from './watch';

describe('watch', () => {
  // 1 756 994 683 s is 2025-09-04T14:04:43Z. Source: POSIX.1-2017, 4.16 "Seconds Since the Epoch", by its formula.
  it('val: POSIX dates', () => {
    const watch = new Watch('2025-09-04T14:04:43Z');
    expect(watch.start_unix_s).toBe(1_756_994_683);
    expect(watch.hms(0)).toBe('14:04:43');
    expect(watch.date).toBe('4 September 2025');
  });

  it('prop: midnight wraps, tenths carry, no clock counts from the first sample', () => {
    const late = new Watch('2025-12-31T23:59:59Z');
    expect(late.hms(2)).toBe('00:00:01');
    expect(late.tenths(0.96)).toBe('00:00.0');
    const none = new Watch(null);
    expect(none.hms(3_725.2)).toBe('01:02:05');
    expect(none.tenths(59.97)).toBe('01:00.0');
    expect(none.zone).toBe('from the first sample');
    expect(none.date).toBeUndefined();
  });
});
