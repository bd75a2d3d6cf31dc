/** A number as people type it, with a comma or a point; NaN if it is none. */
export function decimal(text: string): number {
  const plain = text.trim().replace(',', '.').replace('−', '-');
  return plain === '' ? NaN : Number(plain);
}
