/** Control characters but tab and line ends, halves of a pair, and two that stand for nothing: XML 1.0, section 2.2, forbids them. */
const FORBIDDEN = /(?![\t\n\r\u007f-\u009f])\p{Cc}|\p{Cs}|[\ufffe\uffff]/gu;

/** The text without the characters that no drawing, page or file may hold; the same text where there are none. */
export function writableText(text: string): string {
  return text.replace(FORBIDDEN, '');
}
