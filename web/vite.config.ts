import { svelte } from '@sveltejs/vite-plugin-svelte';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { defineConfig, type Plugin } from 'vite';

/** Writes NAME.gz beside everything that shrinks, so that the server never compresses while someone waits. */
function gzipBeside(): Plugin {
  return {
    name: 'gzip-beside',
    apply: 'build',
    // From the written files: until then other steps still change what is in memory, and the packed copy would differ.
    writeBundle: {
      order: 'post',
      sequential: true,
      handler({ dir = 'dist' }, bundle) {
        for (const fileName of Object.keys(bundle)) {
          if (!/\.(?:js|mjs|css|html|svg|json)$/.test(fileName)) continue;
          const path = join(dir, fileName);
          writeFileSync(`${path}.gz`, gzipSync(readFileSync(path), { level: 9 }));
        }
      },
    },
  };
}

export default defineConfig({
  plugins: [svelte(), gzipBeside()],
  build: {
    target: 'es2023',
    // Everything is a file of its own: the content policy allows no data: addresses for fonts or scripts.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    sourcemap: false,
    // three is large and loads only when someone asks for the path in space.
    chunkSizeWarningLimit: 600,
  },
  server: {
    proxy: {
      // The server compares origin and host: the host must stay the one that the browser asked.
      '/api': { target: process.env['PROOFWING_SERVER'] ?? 'http://127.0.0.1:8087', changeOrigin: false },
    },
  },
  test: {
    include: ['src/**/*.test.ts'],
    environment: 'node',
  },
} as Parameters<typeof defineConfig>[0]);
