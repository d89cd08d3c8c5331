/**
 * What a running gateway answered to each example of use, by the operation and the example's name; without a value where
 * it is too long to be shown, or different each time. Made by `npx vitest run tests/capabilities/openapi-examples.test.ts -u`.
 */
export const ANSWER_EXAMPLES: Readonly<
  Record<string, { readonly status: number; readonly type: string; readonly value?: unknown }>
>
