/**
 * The ways in which something is brought to a clinic's FHIR server, the best first. Which one a destination is served
 * by is chosen from what the server says it can do, one probe, and the operator's word; see `core/exchange/ladder.ts`.
 *
 * - `transaction`: everything in one transaction, each part created only when the server holds none with our
 *   identifier. The server and our outbox guard against doubles.
 * - `conditional-create`: one part after the other with `If-None-Exist`, what is referred to first.
 * - `own-id`: each part put under an id of ours, so that putting it again is the same resource.
 * - `search-first`: each part looked for by our identifier, and posted when it is not there.
 * - `create-only`: each part posted once. The server cannot be asked what it holds, so an outcome that nobody heard
 *   is left to a person.
 */
export const RUNGS = ['transaction', 'conditional-create', 'own-id', 'search-first', 'create-only'] as const

export type Rung = (typeof RUNGS)[number]
