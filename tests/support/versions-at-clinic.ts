import { isJsonObject } from '../../src/core/basics/json-object.ts'
import type { HostileClinic } from './hostile-clinic/hostile-clinic.ts'
import { readingOf } from './queued-delivery.ts'

/**
 * Of each resource at the clinic that is the first reading of a session, its versions in order: whose it is, and its
 * status, such as `P-HW-1 final`.
 */
export function versionsAtClinic(server: HostileClinic, session: string): readonly (readonly string[])[] {
  return server.holding(readingOf(session, 1)).map((versions) =>
    versions.map(({ resource }) => {
      if (!isJsonObject(resource?.subject)) throw new Error('it has no subject')
      const reference = String(resource.subject.reference)
      const whose = server.kept.current('Patient', reference.replace('Patient/', ''))
      const [identifier] = (whose?.identifier ?? []) as readonly { readonly value: string }[]
      return `${identifier?.value ?? reference.replace(/\?.*/, '?')} ${resource?.status}`
    }),
  )
}
