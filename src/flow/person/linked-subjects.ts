import type { Subject } from '../../core/registry/enrolment.ts'
import type { Person } from './person.ts'

/** The other subjects of a person who has several; nothing for a person of one. */
export interface LinkedSubjects {
  readonly linked?: readonly Subject[]
}

/** The same with what follows from it, for whoever sets or looks at an enrolment. */
export interface RemarkedLinks extends LinkedSubjects {
  readonly remark?: string
}

export function linkedSubjects([, ...others]: Person): LinkedSubjects {
  return others.length === 0 ? {} : { linked: others.map(({ source, subject }) => ({ source, subject })) }
}

/** A mistyped identifier makes one person of two. Nothing else shows that, and only who enrols can tell. */
export function remarkedLinks(person: Person): RemarkedLinks {
  const links = linkedSubjects(person)
  return links.linked === undefined ? {} : { ...links, remark: REMARK }
}

const REMARK =
  'These are enrolled to the same patient: their readings and those of this subject are averaged together, as of one person. If they are different people, mend the enrolment that names the wrong patient.'
