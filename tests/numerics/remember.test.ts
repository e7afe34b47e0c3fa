import { describe, expect, it, vi } from 'vitest';
import { type Memory, memory } from '../../src/numerics/index.ts';

describe('memory by identity', () => {
  it('gives the same object while key and parts are the same, and makes it anew otherwise', () => {
    const known = memory<object, object>();
    const key = {};
    const part = {};
    const make = vi.fn(() => ({}));
    const first = known(key, [part, Number.NaN], make);
    expect(known(key, [part, Number.NaN], make)).toBe(first);
    expect(known(key, [{}, Number.NaN], make)).not.toBe(first);
    // Only the answer to the last parts is kept.
    expect(known(key, [part, Number.NaN], make)).not.toBe(first);
    expect(known({}, [part, Number.NaN], make)).not.toBe(first);
    expect(make).toHaveBeenCalledTimes(4);
  });

  it('remembers null and undefined as answers', () => {
    const known = memory<object, null | undefined>();
    const key = {};
    const make = vi.fn(() => null);
    known(key, [], make);
    expect(known(key, [], make)).toBeNull();
    expect(make).toHaveBeenCalledTimes(1);
  });

  it('does not keep what is not to be kept', () => {
    const known = memory<object, number>();
    const key = {};
    const make = vi.fn(() => 1);
    known(key, [], make, (made) => made > 1);
    known(key, [], make, (made) => made > 1);
    expect(make).toHaveBeenCalledTimes(2);
  });

  it('keeps answers of two keys together, each pair its own', () => {
    const known = memory<object, Memory<object, object>>();
    const [a, b] = [{}, {}];
    const of = (outer: object, inner: object) => known(outer, [], () => memory())(inner, [], () => ({}));
    const pair = of(a, b);
    expect(of(b, a)).not.toBe(pair);
    expect(of(a, a)).not.toBe(pair);
    expect(of(a, b)).toBe(pair);
  });
});
