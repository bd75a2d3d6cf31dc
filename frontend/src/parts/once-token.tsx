/** A token that is shown this once, with how a sensor speaks with it. */
import { say } from '../words/say';
import { ShownOnce } from './shown-once';

export function OnceToken({ token }: { token: string }) {
  return (
    <ShownOnce
      head={say('sensor.token')}
      note={say('sensor.token_once')}
      words={token}
      copy={say('sensor.token_copy')}
    >
      <p>{say('sensor.token_how')}</p>
      <p class="address">POST {location.origin}/api/readings</p>
      <p class="address">Authorization: Sensor {token}</p>
      <p class="address">{EXAMPLE}</p>
    </ShownOnce>
  );
}

const EXAMPLE = '{"readings": [{"at": "2026-02-05T10:00:00Z", "temp_c": 12.4, "rh_pct": 63}]}';
