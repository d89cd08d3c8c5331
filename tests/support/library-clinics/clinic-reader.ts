import type { Device, FhirResource, Observation, Patient, Provenance } from 'fhir/r4.js'
import { Client } from 'fhir-kit-client'

/** What a clinic's server holds, asked of it with a general FHIR client that is not ours. */
export class ClinicReader {
  readonly #client: Client

  constructor(baseUrl: string) {
    this.#client = new Client({ baseUrl })
  }

  /** The one resource of a type that a search finds. */
  async only<Type extends Held['resourceType']>(
    type: Type,
    searchParams: Readonly<Record<string, string>>,
  ): Promise<HeldOf<Type>> {
    const [first, second] = await this.#search(type, searchParams)
    if (first === undefined || second !== undefined) throw new Error(`not one ${type}`)
    return first
  }

  /** Everything of a type. */
  all<Type extends Held['resourceType']>(type: Type): Promise<readonly HeldOf<Type>[]> {
    return this.#search(type, {})
  }

  /** What a literal reference leads to. */
  async follow(reference: string | undefined): Promise<Held> {
    const [resourceType = '', id = ''] = reference?.split('/') ?? []
    return this.#client.read({ resourceType, id }) as Promise<Held>
  }

  /** Every version of a resource, the first one first. */
  async versions<Type extends Held['resourceType']>(
    type: Type,
    id: string,
  ): Promise<readonly HeldOf<Type>[]> {
    const history = await this.#client.history({ resourceType: type, id })
    return resourcesIn<HeldOf<Type>>(history).toReversed()
  }

  async #search<Type extends Held['resourceType']>(
    type: Type,
    searchParams: Readonly<Record<string, string>>,
  ): Promise<readonly HeldOf<Type>[]> {
    const found = await this.#client.search({
      resourceType: type,
      searchParams: { ...searchParams, _count: '1000' },
    })
    return resourcesIn<HeldOf<Type>>(found)
  }
}

/** What we send, and whom it is about. */
export type Held = Device | Observation | Provenance | Patient

export type HeldOf<Type extends Held['resourceType']> = Extract<Held, { readonly resourceType: Type }>

/** The client does not know of what shape an answer is; the tests look at what is in it. */
function resourcesIn<Resource>(bundle: unknown): readonly Resource[] {
  const { entry = [] } = bundle as { readonly entry?: readonly { readonly resource: Resource }[] }
  return entry.map(({ resource }) => resource)
}

/** The UUID under which we know a resource: its first identifier, or the first tag of a Provenance. */
export function uuidOf(resource: FhirResource): string {
  if (resource.resourceType === 'Provenance') return resource.meta?.tag?.[0]?.code ?? ''
  if (!('identifier' in resource) || !Array.isArray(resource.identifier)) return ''
  return resource.identifier[0]?.value ?? ''
}
