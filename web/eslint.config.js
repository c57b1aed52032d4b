import js from '@eslint/js';
import svelte from 'eslint-plugin-svelte';
import globals from 'globals';
import ts from 'typescript-eslint';
import svelteConfig from './svelte.config.js';

const domains = ['flight', 'maneuver', 'space', 'compare', 'marks', 'word', 'bring', 'people', 'record'];
/** These draw or mark what was flown, so they may know the flight. */
const aboutFlight = ['maneuver', 'space', 'compare', 'marks', 'word'];

/** The rule of three tiers: shared knows no domain, a domain knows shared (and flight), views compose. */
function tier(folder, forbidden, message) {
  return {
    files: [`src/${folder}/**/*.{ts,svelte}`],
    rules: {
      'no-restricted-imports': [
        'error',
        { patterns: [{ regex: `^(?:\\.\\./)+(?:${forbidden.join('|')})(?:/|$)`, message }] },
      ],
    },
  };
}

export default ts.config(
  { ignores: ['dist/', 'node_modules/', 'src/shared/api/*.gen.ts'] },
  js.configs.recommended,
  ...ts.configs.strict,
  ...ts.configs.stylistic,
  ...svelte.configs.recommended,
  {
    languageOptions: { globals: { ...globals.browser } },
    rules: {
      '@typescript-eslint/consistent-type-definitions': ['error', 'interface'],
      '@typescript-eslint/consistent-type-imports': 'error',
      // An unused name that starts with _ says that it is unused on purpose.
      '@typescript-eslint/no-unused-vars': ['error', { argsIgnorePattern: '^_', varsIgnorePattern: '^_' }],
      'no-console': 'error',
    },
  },
  {
    files: ['**/*.svelte', '**/*.svelte.ts'],
    languageOptions: {
      parserOptions: { extraFileExtensions: ['.svelte'], parser: ts.parser, svelteConfig },
    },
    rules: {
      // The router is our own: links are plain addresses, `href()` in shared/router.ts makes typed ones.
      'svelte/no-navigation-without-resolve': 'off',
    },
  },
  // A test says what it expects; a missing value fails it anyway.
  { files: ['**/*.test.ts'], rules: { '@typescript-eslint/no-non-null-assertion': 'off' } },
  {
    files: ['scripts/**', 'perf/**', 'journeys/**', '*.config.*'],
    languageOptions: { globals: globals.node },
    rules: { 'no-console': 'off' },
  },
  tier(
    'shared',
    [...domains, 'views'],
    'shared/ knows no domain: move this file to the domain or the view that needs it.',
  ),
  ...domains.map((domain) =>
    tier(
      domain,
      [
        ...domains.filter(
          (other) => other !== domain && !(other === 'flight' && aboutFlight.includes(domain)),
        ),
        'views',
      ],
      `${domain}/ may use shared/ only (${aboutFlight.join(', ')} also flight/): compose in views/, or move what both need to shared/.`,
    ),
  ),
);
