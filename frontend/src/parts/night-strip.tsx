/** The night strip: time left to right, nights shaded, the air's line, where gates open and close. */
import { useId } from 'preact/hooks';
import type { AirPoint, Strip, StripMark } from '../models/strip';
import { temp } from '../units/temperature';
import { clock, hourOf, weekday } from '../words/times';

interface Props {
  strip: Strip;
  now_ms: number;
  label: string;
  small?: boolean;
}

const HOUR_MS = 3_600_000;
const FULL = { height: 150, air: [26, 92], lane: [104, 128], text: 146 };
const SMALL = { height: 46, air: [5, 26], lane: [32, 44], text: 0 };
type Shape = { height: number; air: readonly number[]; lane: readonly number[]; text: number };

export function NightStrip({ strip, now_ms, label, small = false }: Props) {
  const shape: Shape = small ? SMALL : FULL;
  const x = (ms: number) =>
    `${(((ms - strip.from_ms) / (strip.to_ms - strip.from_ms)) * 100).toFixed(3)}%`;
  return (
    <svg
      class={small ? 'strip strip-small' : 'strip'}
      width="100%"
      height={shape.height}
      role="img"
      aria-label={label}
    >
      <rect
        class="strip-day"
        x="0"
        y={small ? 0 : 20}
        width="100%"
        height={shape.lane[1]! + 4 - (small ? 0 : 20)}
      />
      {strip.nights.map(([begun, ended]) => (
        <rect
          class="strip-night"
          x={x(begun)}
          y={small ? 0 : 20}
          width={wide(begun, ended, strip)}
          height={shape.lane[1]! + 4 - (small ? 0 : 20)}
        />
      ))}
      {!small && <Ticks strip={strip} x={x} />}
      <Air strip={strip} shape={shape} x={x} small={small} />
      <Lane strip={strip} shape={shape} x={x} small={small} />
      <line
        class="strip-now"
        x1={x(now_ms)}
        x2={x(now_ms)}
        y1={small ? 0 : 20}
        y2={shape.lane[1]! + 4}
      />
      <svg class="strip-here" x={x(now_ms)} y={small ? 0 : 20} overflow="visible">
        <path d="M-7 0H7L0 9z" />
      </svg>
    </svg>
  );
}

type X = (ms: number) => string;

function wide(from_ms: number, to_ms: number, strip: Strip): string {
  return `${((Math.max(0, to_ms - from_ms) / (strip.to_ms - strip.from_ms)) * 100).toFixed(3)}%`;
}

/** The hours that carry a name: midnights by their day, and noons. */
function Ticks({ strip, x }: { strip: Strip; x: X }) {
  const every_h =
    strip.to_ms - strip.from_ms > 30 * HOUR_MS
      ? 12
      : strip.to_ms - strip.from_ms > 10 * HOUR_MS
        ? 6
        : 2;
  const ticks: number[] = [];
  for (let ms = Math.ceil(strip.from_ms / HOUR_MS) * HOUR_MS; ms < strip.to_ms; ms += HOUR_MS) {
    if (hourOf(ms) % every_h === 0) ticks.push(ms);
  }
  const room = (ms: number) => (ms - strip.from_ms) / (strip.to_ms - strip.from_ms);
  return (
    <>
      {ticks.map((ms) => (
        <line class="strip-tick" x1={x(ms)} x2={x(ms)} y1="20" y2={hourOf(ms) === 0 ? 132 : 26} />
      ))}
      {ticks
        .filter((ms) => room(ms) > 0.04 && room(ms) < 0.93)
        .map((ms) => (
          <text class="strip-hour" x={x(ms)} y="15">
            {hourOf(ms) === 0 ? weekday(ms) : clock(ms)}
          </text>
        ))}
    </>
  );
}

function Air({ strip, shape, x, small }: { strip: Strip; shape: Shape; x: X; small: boolean }) {
  if (strip.air.length < 2) return null;
  const [low, high] = scale(strip);
  const [top, bottom] = [shape.air[0]!, shape.air[1]!];
  const y = (temp_c: number) => bottom - ((temp_c - low) / (high - low)) * (bottom - top);
  const across = (ms: number) => ((ms - strip.from_ms) / (strip.to_ms - strip.from_ms)) * 1000;
  const lowest = strip.air.reduce((one, other) => (other.temp_c < one.temp_c ? other : one));
  return (
    <>
      {strip.floor_c !== null && !small && (
        <line class="strip-floor" x1="0" x2="100%" y1={y(strip.floor_c)} y2={y(strip.floor_c)} />
      )}
      <svg
        x="0"
        y="0"
        width="100%"
        height={shape.height}
        viewBox={`0 0 1000 ${shape.height}`}
        preserveAspectRatio="none"
      >
        {runs(strip.air).map((run) => (
          <path
            class={run[1]!.assumed ? 'strip-air strip-air-assumed' : 'strip-air'}
            d={run
              .map(
                (one, i) =>
                  `${i ? 'L' : 'M'}${across(one.at_ms).toFixed(1)} ${y(one.temp_c).toFixed(1)}`,
              )
              .join('')}
          />
        ))}
      </svg>
      {!small && (
        <text
          class={`strip-temp ${anchorOf(lowest.at_ms, strip)}`}
          x={x(lowest.at_ms)}
          y={y(lowest.temp_c) > 60 ? y(lowest.temp_c) - 8 : y(lowest.temp_c) + 18}
        >
          {temp(lowest.temp_c, 0)}
        </text>
      )}
    </>
  );
}

/** Degrees at the foot and at the head of the air's part. */
function scale(strip: Strip): [number, number] {
  const temps = strip.air.map((one) => one.temp_c);
  if (strip.floor_c !== null) temps.push(strip.floor_c);
  const [low, high] = [Math.min(...temps), Math.max(...temps)];
  const spare = Math.max(0, 8 - (high - low)) / 2;
  return [low - spare, high + spare];
}

/** Stretches of one kind, each joined to the last point of the one before. */
function runs(air: readonly AirPoint[]): AirPoint[][] {
  const found: AirPoint[][] = [];
  for (const [i, point] of air.entries()) {
    const before = air[i - 1];
    if (!before) continue;
    const run = found.at(-1);
    if (run && run.at(-1) === before && run[1]!.assumed === point.assumed) run.push(point);
    else found.push([before, point]);
  }
  return found;
}

function anchorOf(ms: number, strip: Strip): string {
  const part = (ms - strip.from_ms) / (strip.to_ms - strip.from_ms);
  return part < 0.12 ? 'from-start' : part > 0.88 ? 'from-end' : '';
}

/** Soft from bare to the figure that acts, solid from there; what closes is a wall. */
function Lane({ strip, shape, x, small }: { strip: Strip; shape: Shape; x: X; small: boolean }) {
  const id = useId();
  const [top, bottom] = [shape.lane[0]!, shape.lane[1]!];
  const opening = strip.marks.filter((mark) => mark.opens).sort((a, b) => a.acts_ms - b.acts_ms);
  const each = (bottom - top) / Math.max(1, opening.length);
  return (
    <>
      <defs>
        <linearGradient id={id}>
          <stop class="strip-stop" offset="0" stop-opacity="0" />
          <stop class="strip-stop" offset="1" stop-opacity="0.9" />
        </linearGradient>
      </defs>
      <line class="strip-base" x1="0" x2="100%" y1={bottom} y2={bottom} />
      {opening.map((mark, i) => (
        <Opening
          mark={mark}
          strip={strip}
          x={x}
          fill={id}
          top={bottom - each * (i + 1)}
          height={each}
        />
      ))}
      {opening.map((mark, i) => (
        <Flag mark={mark} x={x} top={top} bottom={bottom} number={small ? undefined : i + 1} />
      ))}
      {strip.marks
        .filter((mark) => !mark.opens)
        .map((mark) => (
          <rect
            class="strip-wall"
            x={x(mark.acts_ms)}
            y={top - 4}
            width="5"
            height={bottom - top + 4}
          />
        ))}
    </>
  );
}

function Opening(props: {
  mark: StripMark;
  strip: Strip;
  x: X;
  fill: string;
  top: number;
  height: number;
}) {
  const { mark, strip, x, fill, top, height } = props;
  return (
    <>
      <rect
        x={x(mark.bare_ms)}
        y={top}
        width={wide(mark.bare_ms, mark.acts_ms, strip)}
        height={height}
        fill={`url(#${fill})`}
      />
      <rect
        class="strip-open"
        x={x(mark.acts_ms)}
        y={top}
        width={wide(mark.acts_ms, strip.to_ms, strip)}
        height={height}
      />
    </>
  );
}

function Flag(props: {
  mark: StripMark;
  x: X;
  top: number;
  bottom: number;
  number: number | undefined;
}) {
  const { mark, x, top, bottom, number } = props;
  if (number === undefined) return null;
  return (
    <>
      <line class="strip-mark" x1={x(mark.acts_ms)} x2={x(mark.acts_ms)} y1={top - 4} y2={bottom} />
      <text class="strip-number" x={x(mark.acts_ms)} y="146">
        {number}
      </text>
    </>
  );
}
