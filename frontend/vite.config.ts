import { createHash } from 'node:crypto';
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { build, defineConfig, type Plugin } from 'vite';
import about from './package.json' with { type: 'json' };

/** Builds the service worker last, and tells it which files make this build and what it is called. */
function serviceWorker(): Plugin {
  let out = 'dist';
  return {
    name: 'service-worker',
    apply: 'build',
    configResolved(config) {
      out = config.build.outDir;
    },
    async writeBundle(_options, bundle) {
      const built = Object.keys(bundle).filter((file) => !file.endsWith('.html'));
      const asTheyAre = readdirSync('public');
      const keep = ['/', ...asTheyAre.map(slash), ...built.map(slash)].sort();
      const digest = createHash('sha256');
      for (const name of asTheyAre) digest.update(name).update(readFileSync(`public/${name}`));
      for (const name of Object.keys(bundle).sort()) {
        const file = bundle[name]!;
        digest.update(name).update(file.type === 'chunk' ? file.code : file.source);
      }
      await build({
        configFile: false,
        logLevel: 'warn',
        publicDir: false,
        define: {
          __KEEP__: JSON.stringify(keep),
          __BUILD__: JSON.stringify(digest.digest('hex').slice(0, 12)),
        },
        build: {
          outDir: out,
          emptyOutDir: false,
          target: 'es2022',
          lib: { entry: 'src/sw/sw.ts', formats: ['iife'], name: 'sw', fileName: () => 'sw.js' },
        },
      });
    },
  };
}

/** Leaves a compressed copy beside each script and style: the server sends it as it is. */
function compressed(): Plugin {
  let out = 'dist';
  return {
    name: 'compressed',
    apply: 'build',
    configResolved(config) {
      out = config.build.outDir;
    },
    writeBundle(_options, bundle) {
      for (const name of Object.keys(bundle).filter((file) => /\.(js|css)$/.test(file))) {
        const path = join(out, name);
        writeFileSync(`${path}.gz`, gzipSync(readFileSync(path), { level: 9 }));
      }
    },
  };
}

function slash(file: string): string {
  return `/${file}`;
}

export default defineConfig({
  define: { __APP__: JSON.stringify(about.version) },
  build: {
    outDir: '../cureclock/runtime/web/dist',
    emptyOutDir: true,
    assetsDir: 'assets',
    target: 'es2022',
  },
  plugins: [serviceWorker(), compressed()],
});
