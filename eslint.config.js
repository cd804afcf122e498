import js from '@eslint/js';
import { defineConfig, globalIgnores } from 'eslint/config';
import svelte from 'eslint-plugin-svelte';
import globals from 'globals';
import ts from 'typescript-eslint';

const PURE = 'Domain code takes what it needs as an argument: ';

export default defineConfig(
  globalIgnores([
    'dist/',
    'out/',
    'public/',
    'node_modules/',
    '**/*.cjs',
    'src/app/offline/service-worker.template.js',
  ]),
  js.configs.recommended,
  ts.configs.recommendedTypeChecked,
  svelte.configs.recommended,
  {
    languageOptions: {
      globals: globals.browser,
      parserOptions: {
        projectService: true,
        tsconfigRootDir: import.meta.dirname,
        extraFileExtensions: ['.svelte'],
      },
    },
    rules: {
      '@typescript-eslint/consistent-type-imports': 'error',
      '@typescript-eslint/switch-exhaustiveness-check': 'error',
      '@typescript-eslint/no-unused-vars': ['error', { argsIgnorePattern: '^_', varsIgnorePattern: '^_' }],
      'no-alert': 'error',
      'no-empty': ['error', { allowEmptyCatch: false }],
    },
  },
  {
    files: ['**/*.svelte', '**/*.svelte.ts'],
    languageOptions: { parserOptions: { parser: ts.parser } },
    // Collections that are replaced whole need no reactive twin (see DEVELOPERS.md, state).
    rules: { 'svelte/prefer-svelte-reactivity': 'off', 'svelte/require-each-key': 'error' },
  },
  {
    files: ['src/domain/**', 'layers/**'],
    rules: {
      'no-restricted-properties': [
        'error',
        { object: 'Math', property: 'random', message: PURE + 'a seeded generator from base/rng.ts.' },
        { object: 'Date', property: 'now', message: PURE + 'the time.' },
        { object: 'performance', property: 'now', message: PURE + 'a clock function.' },
      ],
      'no-restricted-syntax': [
        'error',
        { selector: "NewExpression[callee.name='Date'][arguments.length=0]", message: PURE + 'the time.' },
      ],
    },
  },
  {
    files: ['src/cli/**', 'tests/**', 'demo-data/**', '*.config.{ts,js}'],
    languageOptions: { globals: globals.node },
  },
  {
    files: ['**/*.{js,mjs}'],
    extends: [ts.configs.disableTypeChecked],
    languageOptions: { globals: globals.node },
  },
);
