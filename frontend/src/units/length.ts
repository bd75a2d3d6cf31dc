/** Lengths in the person's own unit. Kept and sent in millimetres, always. */
import { settings } from '../models/settings';
import { number } from '../words/times';

const MM_IN_INCH = 25.4;
/** As fine as a shop's rule is divided. */
const PARTS = 32;

/** "28 mm", or in inches to the nearest part of a rule: "1 3/32 in". */
export function length(mm: number, digits = 0): string {
  if (settings.value.length === 'mm') return `${number(mm, digits)} mm`;
  return `${inches(mm / MM_IN_INCH)} in`;
}

/** A length as it would be typed: without its unit, "28" or "1 3/32". */
export function shownLength(mm: number): string {
  return settings.value.length === 'mm' ? String(mm) : inches(mm / MM_IN_INCH);
}

function inches(value: number): string {
  const parts = Math.round(Math.abs(value) * PARTS);
  const sign = value < 0 && parts > 0 ? '−' : '';
  const whole = Math.floor(parts / PARTS);
  const rest = parts % PARTS;
  if (!rest) return `${sign}${whole}`;
  const by = PARTS / divisor(rest, PARTS);
  const part = `${rest / divisor(rest, PARTS)}/${by}`;
  return whole ? `${sign}${whole} ${part}` : `${sign}${part}`;
}

function divisor(one: number, other: number): number {
  return other === 0 ? one : divisor(other, one % other);
}

/** Millimetres from what was typed: "28", "1 3/32", "3/4", "1,5"; NaN if it is no length. */
export function toMm(text: string): number {
  const scale = settings.value.length === 'mm' ? 1 : MM_IN_INCH;
  const plain = text.trim().replace(',', '.');
  const found = /^(?:(\d+(?:\.\d+)?)(?:\s+|$))?(?:(\d+)\/([1-9]\d*))?$/.exec(plain);
  if (!plain || !found) return NaN;
  const [, whole = '0', above = '0', below = '1'] = found;
  return (Number(whole) + Number(above) / Number(below)) * scale;
}
