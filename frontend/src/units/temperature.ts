/** Temperatures in the person's own degrees. Kept and sent in degrees Celsius, always. */
import { settings } from '../models/settings';
import { number } from '../words/times';

export function shownTemp(temp_c: number): number {
  return settings.value.temperature === 'F' ? temp_c * 1.8 + 32 : temp_c;
}

export function toCelsius(shown: number): number {
  return settings.value.temperature === 'F' ? (shown - 32) / 1.8 : shown;
}

/** "13.5 °C"; a whole number where the reading was one. */
export function temp(temp_c: number, digits = 1): string {
  return `${number(shownTemp(temp_c), digits)} °${settings.value.temperature}`;
}
