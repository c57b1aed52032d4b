import { svelte } from '@sveltejs/vite-plugin-svelte';
import { gzipSync } from 'node:zlib';
import { defineConfig, type Plugin } from 'vite';

/** Writes NAME.gz beside everything that shrinks, so that the server never compresses while someone waits. */
function gzipBeside(): Plugin {
  return {
    name: 'gzip-beside',
    apply: 'build',
    enforce: 'post',
    generateBundle(_options, bundle) {
      for (const [fileName, part] of Object.entries(bundle)) {
        if (!/\.(?:js|mjs|css|html|svg|json)$/.test(fileName)) continue;
        const bytes = part.type === 'chunk' ? part.code : part.source;
        this.emitFile({ type: 'asset', fileName: `${fileName}.gz`, source: gzipSync(bytes, { level: 9 }) });
      }
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
    // three and MapLibre are large and load only when asked for.
    chunkSizeWarningLimit: 1200,
  },
  server: {
    proxy: { '/api': process.env['PROOFWING_SERVER'] ?? 'http://127.0.0.1:8087' },
  },
  test: {
    include: ['src/**/*.test.ts'],
    environment: 'node',
  },
} as Parameters<typeof defineConfig>[0]);
