/** The entries of one family of routes. */
export type Paths = Readonly<Record<string, Readonly<Record<string, unknown>>>>

export const SOURCE = [
  'source',
  'Name of a registered source; left out with a submit key, which speaks for its own',
] as const
export const PAGE = [
  ['limit', 'Rows a page, 1 to 200; 50 when absent'],
  ['cursor', 'next of the page before'],
] as const
export const BODY_REFUSALS = [400, 413, 415, 422] as const
