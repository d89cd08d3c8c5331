import type { Route } from '../../core/exchange/route/route.ts'
import type { OutboxEntry } from '../../core/outbox/entry.ts'
import type { FhirDestination } from '../../core/registry/destination.ts'
import type { Rung } from '../../core/registry/rung.ts'
import { refersByCondition } from '../deliver/looks/refers-by-condition.ts'
import { mayUpdate } from '../deliver/looks/sendable-resources.ts'
import type { RenderedDelivery } from '../render/rendered-delivery.ts'

/**
 * Where what is sent differs from the bundle as it was rendered, a sentence each: it can be known only once the server was
 * asked what it holds. None where the bundle leaves byte for byte, or nothing would.
 */
export function previewedDifferences(
  { movedFrom }: Pick<OutboxEntry, 'movedFrom'>,
  { outline }: Pick<RenderedDelivery, 'outline'>,
  destination: FhirDestination,
  route: Route,
  rung: Rung | undefined,
): readonly string[] {
  if (rung === undefined) return []
  const isResolved =
    rung === 'transaction' && refersByCondition({ destination }, { references: () => route.references })
  const cannotUpdate = movedFrom === undefined ? destination.cannotUpdate : 'park'
  const isUpdate = outline.some(({ intent }) => intent === 'update')
  return [
    ...(isResolved ? [] : [destination.patient.by === 'identifier-only' ? BY_IDENTIFIER : SEARCHED_FOR]),
    ...(isUpdate ? [mayUpdate({ route }, OBSERVATION) ? BROUGHT_UP_TO_DATE : WITHOUT[cannotUpdate]] : []),
  ]
}

const OBSERVATION = { type: 'Observation' } as const
const SEARCHED_FOR =
  'The patient is searched for first, and the record that is found is named in place of the conditional reference.'
const BY_IDENTIFIER = 'The patient is named by the identifier alone, in place of the conditional reference.'
const BROUGHT_UP_TO_DATE =
  'What is to be brought up to date is looked for first, and is put where it stands, under If-Match with its version.'

/** Where the server takes no update: by `cannotUpdate`, though nothing new takes a reading out of another's record. */
const WITHOUT = {
  park: 'The server takes no update: where what it holds is not just so, the delivery is left to a person.',
  'send-as-new':
    'The server takes no update: what is amended is sent as new and names what it replaces, and where something is taken back the delivery is left to a person.',
} as const
