import { describe, expect, it } from 'vitest'
import { problems, spoilt } from '../../../tests/support/spoilt-resource.ts'
import {
  validAuditEvent,
  validAverage,
  validDevice,
  validOutcome,
  validPatient,
  validPulse,
  validReading,
  validTransaction,
} from '../../../tests/support/valid-resources.ts'

/** Elements R4 or the profile demands, by resource: losing any of them must be noticed. */
const REQUIRED: readonly [() => unknown, readonly string[]][] = [
  [
    validReading,
    [
      'resourceType',
      'status',
      'category',
      'category.0.coding',
      'category.0.coding.0.system',
      'category.0.coding.0.code',
      'code',
      'code.coding',
      'subject',
      'effectiveDateTime',
      'component',
      'component.0',
      'component.1',
      'component.0.code',
      'component.0.code.coding',
      'component.0.valueQuantity',
      'component.1.valueQuantity.value',
      'component.1.valueQuantity.unit',
      'component.1.valueQuantity.system',
      'component.1.valueQuantity.code',
      'text.status',
      'text.div',
      'extension.0.url',
      'extension.0.valueCodeableConcept',
    ],
  ],
  [
    validPulse,
    ['status', 'category', 'code', 'subject', 'effectiveDateTime', 'valueQuantity', 'valueQuantity.code'],
  ],
  [
    validAverage,
    [
      'status',
      'category',
      'code',
      'subject',
      'effectivePeriod',
      'component.0',
      'component.1',
      'note.0.text',
      'component.1.valueQuantity.code',
      'component.2.code',
    ],
  ],
  [
    validTransaction,
    [
      'type',
      'entry.0.request',
      'entry.0.request.method',
      'entry.0.request.url',
      'entry.0.resource',
      'entry.0.fullUrl',
      'entry.1.fullUrl',
      'entry.2.resource.target',
      'entry.2.resource.recorded',
      'entry.2.resource.agent',
      'entry.2.resource.agent.0.who',
      'entry.2.resource.entity.0.role',
      'entry.2.resource.entity.0.what',
    ],
  ],
  [validPatient, ['communication.0.language']],
  [validDevice, ['deviceName.0.name', 'deviceName.0.type', 'version.0.value']],
  [
    validAuditEvent,
    ['type', 'recorded', 'agent', 'agent.0.requestor', 'source', 'source.observer', 'entity.0.detail.0.type'],
  ],
  [validOutcome, ['issue', 'issue.0.severity', 'issue.0.code']],
]

describe('losing a required element is noticed', () => {
  it.each(REQUIRED.flatMap(([make, paths]) => paths.map((path): [string, () => unknown] => [path, make])))(
    '%s',
    (path, make) => {
      expect(problems(spoilt(make(), path)).length).toBeGreaterThan(0)
    },
  )
})
