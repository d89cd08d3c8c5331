import { InvalidArgumentError, Option } from 'commander'
import type { Mapping } from '../../../core/mapping/mapping.ts'
import type { MappedIntakeOptions } from '../../../flow/intake/mapped-intake.ts'
import { subjectBySenderFault } from '../../../flow/intake/subject-by-sender.ts'

export function subjectOption(): Option {
  return new Option(
    '--subject <id>',
    'the source’s own id of the person, where a mapping leaves it to the sender',
  )
}

/** @throws InvalidArgumentError when the mapping needs a subject and none is named, or the other way round. */
export function subjectOf(
  mapping: Mapping,
  subject: string | undefined,
): Pick<MappedIntakeOptions, 'subject'> {
  const fault = subjectBySenderFault(mapping, subject, '--subject')
  if (fault !== undefined) {
    throw new InvalidArgumentError(`${fault.at}: expected ${fault.expected}. ${fault.remedy} [${fault.code}]`)
  }
  return subject === undefined ? {} : { subject }
}
