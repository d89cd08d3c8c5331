import { type ClinicReader, type Held, uuidOf } from './clinic-reader.ts'

/** What a clinic holds by our UUIDs, as it would stand in any clinic: see `asAnywhere`. */
export type HeldContent = Readonly<Record<string, unknown>>

/**
 * Everything we sent that a clinic holds. Fails when two resources carry the same UUID, or a literal reference leads to
 * none that is there.
 */
export async function heldContent(reader: ClinicReader): Promise<HeldContent> {
  const everything: readonly Held[] = (
    await Promise.all([
      reader.all('Patient'),
      reader.all('Device'),
      reader.all('Observation'),
      reader.all('Provenance'),
    ])
  ).flat()
  const names = new Map(everything.map((one) => [`${one.resourceType}/${one.id}`, uuidOf(one)]))
  const content: Record<string, unknown> = {}
  for (const resource of everything) {
    if (resource.resourceType === 'Patient') continue
    const uuid = uuidOf(resource)
    if (uuid in content) throw new Error(`a ${resource.resourceType} is there twice`)
    content[uuid] = asAnywhere(resource, (reference) => names.get(reference))
  }
  return content
}

/**
 * A resource without what a server gives it, its id, version and date, and with each literal reference named by what it
 * leads to.
 *
 * @param nameOf undefined for a reference that leads nowhere, which fails.
 */
export function asAnywhere(resource: object, nameOf: (reference: string) => string | undefined): unknown {
  const { id: _, meta, ...rest }: Readonly<Record<string, unknown>> = { ...resource }
  const { versionId: __, lastUpdated: ___, ...kept }: Readonly<Record<string, unknown>> = { ...Object(meta) }
  const said = Object.keys(kept).length === 0 ? rest : { ...rest, meta: kept }
  return JSON.parse(JSON.stringify(said), (key, value) => {
    if (key !== 'reference' || typeof value !== 'string') return value
    const name = nameOf(value)
    if (name === undefined) throw new Error(`a ${value.split('/')[0]} that is referred to is not there`)
    return name
  })
}
