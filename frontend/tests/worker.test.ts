import { afterEach, expect, test, vi } from 'vitest';
import { keepWorkingOffline } from '../src/sync/worker';

afterEach(() => vi.unstubAllGlobals());

test('without a service worker the app still starts and says it cannot work offline', async () => {
  vi.stubGlobal('navigator', {});
  expect(await keepWorkingOffline()).toBe(false);
});

test('where the browser has service workers, ours is started', async () => {
  const register = vi.fn(async () => undefined);
  vi.stubGlobal('navigator', { serviceWorker: { register } });
  expect(await keepWorkingOffline()).toBe(true);
  expect(register).toHaveBeenCalledWith('/sw.js');
});
