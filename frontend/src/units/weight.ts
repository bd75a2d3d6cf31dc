/** Weights in the person's own unit. Kept and sent in grams, always. */
import { settings } from '../models/settings';
import { number } from '../words/times';

const G_IN_OZ = 28.349523125;

export function shownWeight(weight_g: number): number {
  return settings.value.weight === 'oz' ? weight_g / G_IN_OZ : weight_g;
}

export function toGrams(shown: number): number {
  return settings.value.weight === 'oz' ? shown * G_IN_OZ : shown;
}

/** "180 g", "6.3 oz". */
export function weight(weight_g: number, digits = settings.value.weight === 'oz' ? 1 : 0): string {
  return `${number(shownWeight(weight_g), digits)} ${settings.value.weight}`;
}
