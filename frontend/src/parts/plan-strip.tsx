/** A night strip of one pair of hands, or one machine: what cures is its ground, acts lie on it as tape. */
import type { Act, Cure, Present } from '../models/plan';
import { tide } from '../models/plan';
import { nightsIn } from '../models/nights';
import { clock, hourOf, weekday } from '../words/times';

interface Props {
  label: string;
  acts: readonly Act[];
  waits: readonly Cure[];
  there?: readonly Present[];
  from_ms: number;
  to_ms: number;
  now_ms: number;
  /** Hands, or the time a machine runs. */
  whole?: boolean;
}

const HOUR_MS = 3_600_000;
const [TOP, FOOT, LANE] = [20, 74, 22];

export function PlanStrip(props: Props) {
  const { label, acts, waits, there = [], from_ms, to_ms, now_ms, whole = false } = props;
  const part = (ms: number) => Math.min(1, Math.max(0, (ms - from_ms) / (to_ms - from_ms)));
  const x = (ms: number) => `${(part(ms) * 100).toFixed(3)}%`;
  const wide = (one: number, other: number) =>
    `${((part(other) - part(one)) * 100).toFixed(3)}%`;
  const inside = acts.filter(
    (act) => Date.parse(act.ends) > from_ms && Date.parse(act.starts) < to_ms,
  );
  return (
    <svg class="strip" width="100%" height={FOOT + LANE + 4} role="img" aria-label={label}>
      <rect class="strip-day" x="0" y={TOP} width="100%" height={FOOT + LANE - TOP} />
      {nightsIn(from_ms, to_ms).map(([begun, ended]) => (
        <rect
          class="strip-night"
          x={x(begun)}
          y={TOP}
          width={wide(begun, ended)}
          height={FOOT + LANE - TOP}
        />
      ))}
      <Ground waits={waits} from_ms={from_ms} to_ms={to_ms} />
      <Hours from_ms={from_ms} to_ms={to_ms} x={x} part={part} />
      {there.map((spell) => (
        <line
          class="plan-there"
          x1={x(Date.parse(spell.from))}
          x2={x(Date.parse(spell.to))}
          y1={FOOT + LANE}
          y2={FOOT + LANE}
        />
      ))}
      {inside.map((act) => (
        <rect
          key={`${act.batch.id}${act.step}${act.first}`}
          class={act.rules ? 'plan-act plan-rules' : 'plan-act'}
          x={x(Date.parse(act.starts))}
          y={FOOT}
          width={wide(Date.parse(act.starts), Date.parse(whole ? act.ends : act.hands_free))}
          height={LANE}
        />
      ))}
      <line class="strip-now" x1={x(now_ms)} x2={x(now_ms)} y1={TOP} y2={FOOT + LANE} />
    </svg>
  );
}

/** How many pieces cure at each moment, as a hill from the foot of the strip. */
function Ground({ waits, from_ms, to_ms }: Pick<Props, 'waits' | 'from_ms' | 'to_ms'>) {
  const steps = tide(waits, from_ms, to_ms);
  const most = Math.max(1, ...steps.map(([, height]) => height));
  const across = (ms: number) => (((ms - from_ms) / (to_ms - from_ms)) * 1000).toFixed(1);
  const up = (height: number) => (FOOT - (height / most) * (FOOT - TOP - 8)).toFixed(1);
  const line = steps.map(([at_ms, height]) => `H${across(at_ms)}V${up(height)}`).join('');
  return (
    <svg
      width="100%"
      height={FOOT + LANE}
      viewBox={`0 0 1000 ${FOOT + LANE}`}
      preserveAspectRatio="none"
    >
      <path class="plan-ground" d={`M0 ${FOOT}${line}H1000V${FOOT}Z`} />
    </svg>
  );
}

interface HoursProps {
  from_ms: number;
  to_ms: number;
  x: (ms: number) => string;
  part: (ms: number) => number;
}

function Hours({ from_ms, to_ms, x, part }: HoursProps) {
  const long = to_ms - from_ms > 48 * HOUR_MS;
  const ticks: number[] = [];
  for (let ms = Math.ceil(from_ms / HOUR_MS) * HOUR_MS; ms < to_ms; ms += HOUR_MS) {
    if (hourOf(ms) % (long ? 24 : 6) === (long ? 12 : 0)) ticks.push(ms);
  }
  return (
    <>
      {ticks
        .filter((ms) => part(ms) > 0.05 && part(ms) < 0.95)
        .map((ms) => (
          <text class="strip-hour" x={x(ms)} y="15">
            {long || hourOf(ms) === 0 ? weekday(ms) : clock(ms)}
          </text>
        ))}
    </>
  );
}
