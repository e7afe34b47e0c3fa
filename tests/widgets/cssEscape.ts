/**
 * jsdom has no CSS.escape, which React Aria's menus, tabs and dialogs need. Import this file for its effect in a component test. Escapes
 * every character that could mean something in a selector, which is more than the standard asks for and selects the same.
 */
globalThis.CSS ??= {
  escape: (text: string) => text.replace(/[^\w-]|^(?:\d|-?\d)/gu, (c) => `\\${c.codePointAt(0)?.toString(16)} `),
} as typeof CSS;
