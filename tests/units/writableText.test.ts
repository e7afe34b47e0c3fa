import { describe, expect, it } from 'vitest';
import { buildToFile } from '../../src/build/index.ts';
import { openFileText } from '../../src/storage/files.ts';
import { writableText } from '../../src/units/index.ts';
import { buildWithMap } from '../build/anyChange.ts';

describe('characters that XML 1.0 (section 2.2) forbids', () => {
  it('are left out, and nothing else is', () => {
    for (let code = 0; code <= 0xffff; code += 1) {
      // Char ::= #x9 | #xA | #xD | [#x20-#xD7FF] | [#xE000-#xFFFD] | [#x10000-#x10FFFF]
      const isAllowed =
        [0x9, 0xa, 0xd].includes(code) || (code >= 0x20 && code <= 0xd7ff) || (code >= 0xe000 && code <= 0xfffd);
      const text = String.fromCharCode(code);
      expect(writableText(text), code.toString(16)).toBe(isAllowed ? text : '');
    }
    expect(writableText('a\u{1F600}b\u0000c')).toBe('a\u{1F600}bc');
  });

  it('in a file are left out with a note; a file without them has none', () => {
    const file = buildToFile(buildWithMap('one'));
    const opened = openFileText(JSON.stringify({ ...file, name: 'A\u0001B\ud800C \u{1F600}' }), 'x');
    if (!opened.ok || opened.value.kind !== 'build') throw new Error('it can be read');
    expect(opened.value.build.name).toBe('ABC \u{1F600}');
    expect(opened.notes).toMatchObject([{ message: expect.stringContaining('Control characters') }]);
    expect(openFileText(JSON.stringify({ ...file, name: '\u{1F600}' }), 'x')).toMatchObject({ ok: true, notes: [] });
  });
});
