import type { AuditEntry } from '../../../core/audit/audit-entry.ts'
import type { Enrolment } from '../../../core/registry/enrolment.ts'
import type { AccessKey, Source } from '../../../core/registry/source.ts'
import type { ListedEnrolment, Page } from '../../../flow/ports/ports.ts'
import { type RecordingParts, recorded, recordedIf } from '../audit/recorded.ts'
import type { EarlierLinks } from './earlier-links.ts'
import type { KeyRows } from './key-rows.ts'
import type { RegistryRows } from './registry-rows.ts'
import type { SourceNumbers } from './source-numbers.ts'

interface RegistryParts extends RecordingParts {
  readonly sources: SourceNumbers
  readonly registry: RegistryRows
  readonly keys: KeyRows
  readonly earlierLinks: EarlierLinks
}

/** The calls about sources, their keys, and who is linked to which patient. */
export function registryCalls(parts: RegistryParts) {
  const { database, sources, registry, keys, earlierLinks } = parts
  return {
    saveSource(source: Source, entry: AuditEntry): void {
      recorded(entry, parts, () => registry.saveSource(source))
    },

    sources(): readonly Source[] {
      return database.read(() => registry.sources())
    },

    saveAccessKey(key: AccessKey, entry: AuditEntry): void {
      recorded(entry, parts, () => keys.save(key))
    },

    accessKey(sha256: string): AccessKey | undefined {
      return database.read(() => keys.valid(sha256))
    },

    accessKeys(): readonly AccessKey[] {
      return database.read(() => keys.all())
    },

    revokeAccessKey(id: string, entry: AuditEntry): boolean {
      return recordedIf(entry, parts, () => keys.revoke(id, entry.at))
    },

    enrolments(source: string, subjects: readonly string[]): readonly (Enrolment | undefined)[] {
      return database.read(() => registry.enrolments(source, subjects))
    },

    earlierPatient(source: string, subject: string, destination: string): Enrolment['patient'] | undefined {
      return database.read(() => {
        const sourceNo = sources.find(source)
        return sourceNo === undefined ? undefined : earlierLinks.patient(sourceNo, subject, destination)
      })
    },

    enrolmentsOf(patient: Enrolment['patient'], destination: string): readonly Enrolment[] {
      return database.read(() => registry.ofPatient(patient, destination))
    },

    onceEnrolledTo(patient: Enrolment['patient'], destination: string): readonly Enrolment[] {
      return database.read(() => registry.onceOf(patient, destination))
    },

    enrolmentPage(page: Page & { readonly source?: string }): readonly ListedEnrolment[] {
      return database.read(() => registry.page(page))
    },
  }
}
