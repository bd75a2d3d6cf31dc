/** A token that is shown this once, with how a sensor speaks with it. */
import { Tape } from './tape';
import { say } from '../words/say';

export function OnceToken({ token }: { token: string }) {
  return (
    <section class="notice" role="status">
      <div class="stack">
        <h2>{say('sensor.token')}</h2>
        <p>{say('sensor.token_once')}</p>
        <p class="address token">{token}</p>
        <p>{say('sensor.token_how')}</p>
        <p class="address">POST {location.origin}/api/readings</p>
        <p class="address">Authorization: Sensor {token}</p>
        <p class="address">{EXAMPLE}</p>
        {navigator.clipboard && (
          <Tape
            verb={say('sensor.token_copy')}
            onTap={() => navigator.clipboard.writeText(token).catch(() => undefined)}
          />
        )}
      </div>
    </section>
  );
}

const EXAMPLE = '{"readings": [{"at": "2026-02-05T10:00:00Z", "temp_c": 12.4, "rh_pct": 63}]}';
