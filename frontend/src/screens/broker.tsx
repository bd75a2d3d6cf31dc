/** Where sensors are heard that speak to a broker, and how the listening goes. */
import { useSignal } from '@preact/signals';
import { minute } from '../models/clock';
import { sensors, type Broker as BrokerOf } from '../models/sensors';
import { isOwner } from '../models/shop';
import { tell } from '../models/tell';
import { Field } from '../parts/field';
import { Sign } from '../parts/sign';
import { useSensors } from '../parts/use-sensors';
import { say, word } from '../words/say';
import { when } from '../words/times';

export default function Broker() {
  const failed = useSensors();
  const told = sensors.value;
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('broker.head')}</h1>
      {failed && !told && <p role="alert">{say('sensor.needs_signal')}</p>}
      {told && <State broker={told.broker} />}
      {told && isOwner.value && <Said broker={told.broker} />}
    </main>
  );
}

function State({ broker }: { broker: BrokerOf | null }) {
  if (!broker) return <p>{say('broker.none')}</p>;
  const at = broker.state_at ? when(broker.state_at, minute.value) : '';
  const well = broker.state === 'listening';
  return (
    <section>
      <p class="line-name">
        {broker.host}:{broker.port}
      </p>
      <p class="line-when">
        <Sign kind={well ? 'may' : broker.state === 'connecting' ? 'wait' : 'heed'} />
        <span>
          {word(`broker.state.${broker.state || 'silent'}`, { at })}{' '}
          {!well && broker.why && <span class="soft">{broker.why}</span>}
        </span>
      </p>
    </section>
  );
}

function Said({ broker }: { broker: BrokerOf | null }) {
  const host = useSignal(broker?.host ?? '');
  const port = useSignal(String(broker?.port ?? 1883));
  const username = useSignal(broker?.username ?? '');
  const password = useSignal('');
  const tls = useSignal(broker?.tls ?? false);
  const keep = async (event: Event) => {
    event.preventDefault();
    const said = {
      host: host.value.trim(),
      port: Math.floor(Number(port.value)) || 1883,
      username: username.value,
      password: password.value,
      tls: tls.value,
    };
    if (await tell('broker_told', said, 0)) password.value = '';
  };
  return (
    <form class="stack" onSubmit={keep}>
      <h2 class="part-head">{say('broker.say')}</h2>
      <p>{say('broker.note')}</p>
      <Field label={say('broker.host')} value={host} most={253} />
      <Field label={say('broker.port')} value={port} mode="numeric" most={5} />
      <Field label={say('broker.username')} value={username} />
      <Field label={say('broker.password')} value={password} type="password" most={200} />
      <label class="switch">
        <input type="checkbox" checked={tls.value} onChange={() => (tls.value = !tls.value)} />
        <span>{say('broker.tls')}</span>
      </label>
      <button type="submit" class="tape tape-wide">
        <span class="tape-verb">{say('broker.keep')}</span>
      </button>
    </form>
  );
}
