/** Alerts that stand, and which of them this person has not answered yet. */
import { computed, signal } from '@preact/signals';
import type { Instant } from './view';
import { taps } from './shop';

export interface StandingAlert {
  id: string;
  kind: string;
  title: string;
  body: string;
  link: string;
  urgent: boolean;
  told_at: Instant;
  mine: boolean;
  taken_by: string;
}

export const SAYS = ['mine', 'later', 'not_me'] as const;
export const alerts = signal<StandingAlert[]>([]);

/** What was answered here is gone at once, whether or not the server has heard of it. */
const answered = computed(
  () =>
    new Set(
      taps.value
        .filter((tap) => tap.verb === 'alert_answered' && tap.state !== 'refused')
        .map((tap) => tap.said.alert),
    ),
);

export const toAnswer = computed(() =>
  alerts.value.filter((one) => one.mine && !answered.value.has(one.id)),
);
export const taken = computed(() => alerts.value.filter((one) => one.taken_by !== ''));
