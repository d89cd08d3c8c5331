import { answer, json, operation } from './operation.ts'
import { BODY_REFUSALS, PAGE, type Paths } from './path-parts.ts'
import { ref } from './schema-words.ts'

const READERS = ['read', 'operate']
const OPERATORS = ['operate']

/** Sources, their keys, and the links between their subjects and the clinics’ patients. */
export function registryPaths(): Paths {
  return { ...sourcePaths(), ...enrolmentPaths() }
}

function sourcePaths(): Paths {
  return {
    '/sources': {
      get: operation('/sources', {
        id: 'listSources',
        tag: 'sources',
        summary: 'List the registered sources',
        roles: READERS,
        answers: { 200: answer('The sources', ref('SourceList')) },
        refusals: [406],
      }),
      post: operation('/sources', {
        id: 'registerSource',
        tag: 'sources',
        summary: 'Register a source, or renew its title',
        roles: OPERATORS,
        body: json('SourceRequest'),
        answers: { 200: answer('Known already', ref('Source')), 201: answer('Registered', ref('Source')) },
        refusals: BODY_REFUSALS,
      }),
    },
    '/sources/{name}': {
      get: operation('/sources/{name}', {
        id: 'readSource',
        tag: 'sources',
        summary: 'One source, and how much of it waits for an enrolment',
        description: 'Asks about every subject of the source; for one with very many it takes a while.',
        roles: READERS,
        answers: { 200: answer('The source', ref('ToldSource')) },
        refusals: [404, 406],
      }),
    },
    '/sources/{name}/waiting': {
      get: operation('/sources/{name}/waiting', {
        id: 'listWaiting',
        tag: 'enrolments',
        summary: 'Subjects of a source that sent sessions and are not enrolled',
        description:
          'A session of a subject that nobody enrolled is kept, and flows once the enrolment comes. In the order of the ' +
          'subjects’ names; sessions that were withdrawn do not count.',
        roles: READERS,
        query: PAGE,
        answers: { 200: answer('A page of subjects', ref('WaitingPage')) },
        refusals: [400, 404, 406],
      }),
    },
    '/sources/{name}/keys': {
      post: operation('/sources/{name}/keys', {
        id: 'issueSourceKey',
        tag: 'sources',
        summary: 'Issue a submit key for a source; it is shown this once',
        roles: OPERATORS,
        body: json('SourceKeyRequest'),
        bodyOptional: true,
        answers: { 201: answer('The key', ref('SourceKey')) },
        refusals: [...BODY_REFUSALS, 404],
      }),
    },
    '/keys': {
      post: operation('/keys', {
        id: 'issueKey',
        tag: 'sources',
        summary: 'Issue a key to read, operate or audit; it is shown this once',
        roles: OPERATORS,
        body: json('KeyRequest'),
        answers: { 201: answer('The key', ref('Key')) },
        refusals: BODY_REFUSALS,
      }),
      get: operation('/keys', {
        id: 'listKeys',
        tag: 'sources',
        summary: 'List the keys, revoked ones too, in the order in which they were made',
        roles: ['operate', 'audit'],
        answers: { 200: answer('All keys', ref('KeyList')) },
        refusals: [406],
      }),
    },
    '/keys/{id}': {
      delete: operation('/keys/{id}', {
        id: 'revokeKey',
        tag: 'sources',
        summary: 'Revoke a key: it opens nothing from the next request on; again changes nothing',
        roles: OPERATORS,
        answers: { 200: answer('The key as it stands now', ref('ToldKey')) },
        refusals: [404, 406],
      }),
    },
  }
}

function enrolmentPaths(): Paths {
  return {
    '/enrolments': {
      get: operation('/enrolments', {
        id: 'listEnrolments',
        tag: 'enrolments',
        summary: 'List enrolments, by source and subject',
        roles: READERS,
        query: [['source', 'Only those of this source'], ...PAGE],
        answers: { 200: answer('A page of enrolments', ref('EnrolmentPage')) },
        refusals: [400, 404, 406],
      }),
    },
    '/enrolments/{source}/{subject}': {
      get: operation('/enrolments/{source}/{subject}', {
        id: 'readEnrolment',
        tag: 'enrolments',
        summary: 'How a subject is linked to the clinic',
        roles: READERS,
        answers: { 200: answer('The link', ref('Enrolment')) },
        refusals: [404, 406],
      }),
      put: operation('/enrolments/{source}/{subject}', {
        id: 'saveEnrolment',
        tag: 'enrolments',
        summary: 'Link a source’s subject to the clinic’s patient, or change the link',
        description:
          'Sessions that arrived before are queued for the clinic; queued tells how many. An enrolment can be changed to ' +
          'another clinic, which is then given what is held, or to another patient of the same one: what that clinic was ' +
          'given is brought over to the right record then, and moving tells how many deliveries that are. It cannot be deleted: what was sent under it is in the ' +
          'clinic’s record and must stay traceable. Readings of all subjects that are enrolled to one patient of a ' +
          'destination are averaged together; linked names the others, because a mistyped identifier makes one person of two.',
        roles: OPERATORS,
        body: json('EnrolmentRequest'),
        answers: { 200: answer('The link', ref('Enrolled')) },
        refusals: [...BODY_REFUSALS, 404],
      }),
    },
  }
}
