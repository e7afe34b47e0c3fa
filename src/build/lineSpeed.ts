import { parseNumber, parseQuantity } from '../units/index.ts';
import type { MapDraft } from './document.ts';

/** Speed of a line as typed: in rev/min, or in percent ('80 %') of the design speed of the sheet. */
export type LineSpeed = { ok: true; rpm: number } | { ok: false; reason: 'unreadable' | 'no-design-speed' };

/** Reads the speed of a line, rev/min above zero. */
export function lineSpeed(text: string, habits: MapDraft['habits']): LineSpeed {
  const percent = /^(.*)%\s*$/.exec(text.trim());
  const parsed = parseNumber(percent?.[1] ?? text, percent === null ? 'integer-like' : 'decimal');
  if (!parsed.ok || parsed.value <= 0) return { ok: false, reason: 'unreadable' };
  if (percent === null) return { ok: true, rpm: parsed.value };
  const design = habits?.designSpeed;
  const speed = design === undefined ? null : parseQuantity(design.text, 'rotational-speed', design.unit);
  if (speed === null || !speed.ok || !(speed.si > 0)) return { ok: false, reason: 'no-design-speed' };
  // Rounded where the product of two decimals leaves a tail: 0.7 x 110,000 is 77,000.
  return { ok: true, rpm: Number(((parsed.value / 100) * speed.si).toPrecision(10)) };
}
