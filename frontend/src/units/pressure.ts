/** Pressures in the person's own unit. Kept and sent in kilopascals, always. */
import { settings } from '../models/settings';
import { number } from '../words/times';

const KPA_IN_PSI = 6.894757293168;

/** "0.70 MPa", "102 psi". */
export function pressure(pressure_kpa: number): string {
  return settings.value.pressure === 'psi'
    ? `${number(pressure_kpa / KPA_IN_PSI, 0)} psi`
    : `${number(pressure_kpa / 1000, 2)} MPa`;
}
