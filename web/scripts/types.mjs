// Writes the TypeScript types of the API and of the debrief document from ../schema, or with --check says
// whether the committed ones are stale.
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import openapiTS, { astToString } from 'openapi-typescript';

const check = process.argv.includes('--check');
const folder = new URL('../src/shared/api/', import.meta.url);
const schema = new URL('../../schema/', import.meta.url);

/** A JSON Schema with `$defs` as the components of an API description, so that one generator writes both. */
function asDescription(document, root) {
  const text = JSON.stringify(document).replaceAll('#/$defs/', '#/components/schemas/');
  const { $defs, $schema: _dialect, ...whole } = JSON.parse(text);
  return {
    openapi: '3.1.0',
    info: { title: document.title, version: '1' },
    paths: {},
    components: { schemas: { ...$defs, [root]: whole } },
  };
}

async function write(name, from, shape = (document) => document) {
  const source = new URL(from, schema);
  if (!existsSync(source)) {
    console.error(`schema/${from} is missing; it is written by the Rust side`);
    process.exitCode = 1;
    return;
  }
  const document = shape(JSON.parse(readFileSync(source, 'utf8')));
  const body = astToString(await openapiTS(document, { alphabetize: true, defaultNonNullable: false }));
  const text = `// Generated from schema/${from} by \`npm run types\`. Do not edit.\n${body}`;
  const target = new URL(name, folder);
  const old = existsSync(target) ? readFileSync(target, 'utf8') : '';
  if (old === text) return;
  if (check) {
    console.error(`src/shared/api/${name} is stale: run \`npm run types\` and commit it`);
    process.exitCode = 1;
  } else {
    writeFileSync(target, text);
    console.log(`wrote src/shared/api/${name}`);
  }
}

await write('types.gen.ts', 'openapi.json');
await write('debrief.gen.ts', 'debrief-1.schema.json', (document) => asDescription(document, 'Debrief'));
