import type { SentType, ServerAbilities } from '../../../core/exchange/route/abilities.ts'
import { type SentResource, sentResources } from '../../../core/exchange/sent-resource.ts'
import type { Errand } from '../errand/course.ts'

export interface Sendable {
  /** In the order they are written in. */
  readonly resources: readonly SentResource[]
  /** All of the bundle, by UUID: what is left out is still referred to, by its identifier. */
  readonly keys: ReadonlyMap<string, SentResource>
}

/**
 * The resources of a delivery that the server can be given; of a type that it cannot create, none. A Provenance that it
 * cannot update is left as it is where it is there: it is not what is delivered.
 */
export function sendableResources({ rendered, route }: Pick<Errand, 'rendered' | 'route'>): Sendable {
  const all = sentResources(rendered.bundle)
  return {
    resources: all
      .filter(({ type }) => canCreate(route.abilities, type))
      .map((sent) =>
        sent.type === 'Provenance' && !mayUpdate({ route }, sent) ? { ...sent, intent: 'create' } : sent,
      ),
    keys: new Map(all.map((sent) => [sent.uuid, sent])),
  }
}

/** Whether the server's statement allows an update; one that says nothing is asked by trying. */
export function mayUpdate({ route }: Pick<Errand, 'route'>, { type }: Pick<SentResource, 'type'>): boolean {
  return route.abilities === undefined || route.abilities.types[type].update
}

/** The types of what a delivery leaves out: of all its resources, those that are not sent. */
export function leftOutOf(
  { resources, keys }: Sendable,
  also: ReadonlySet<string> = new Set(),
): { readonly leftOut?: readonly SentType[] } {
  const sent = new Set(resources.filter(({ uuid }) => !also.has(uuid)).map(({ uuid }) => uuid))
  const types = new Set([...keys.values()].filter(({ uuid }) => !sent.has(uuid)).map(({ type }) => type))
  return types.size === 0 ? {} : { leftOut: [...types].toSorted() }
}

/**
 * Whether a type can be created, by what the server says. Observations are what is delivered: they are tried in any case.
 * A statement that lists no Observation says nothing that could be believed of the other types either.
 */
export function canCreate(abilities: ServerAbilities | undefined, type: SentResource['type']): boolean {
  if (abilities === undefined || type === 'Observation') return true
  const { listed, create, updateCreate } = abilities.types[type]
  return listed ? create || updateCreate : !abilities.types.Observation.listed
}
