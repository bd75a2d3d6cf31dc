/** Sensors asked for anew whenever the server has spoken; whether that failed. */
import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { doubted, sensors, type SensorsTold, type Stretch } from '../models/sensors';
import { served } from '../models/shop';
import { pullKept } from '../sync/pull';

export function useSensors(): boolean {
  const failed = useSignal(false);
  const heard = served.value?.now;
  useEffect(() => {
    void pullSensors().then(
      () => (failed.value = false),
      () => (failed.value = true),
    );
  }, [heard]);
  return failed.value;
}

export async function pullSensors(): Promise<void> {
  sensors.value = await pullKept<SensorsTold>('sensors', '/api/sensors');
}

export function useDoubted(): boolean {
  const failed = useSignal(false);
  const heard = served.value?.now;
  useEffect(() => {
    void pullKept<{ stretches: Stretch[] }>('doubted', '/api/doubted-readings').then(
      (told) => {
        doubted.value = told.stretches;
        failed.value = false;
      },
      () => (failed.value = true),
    );
  }, [heard]);
  return failed.value;
}
