import type { Command } from 'commander'
import { issueText } from '../../../core/basics/issue.ts'
import { visibleText } from '../../../core/basics/visible-text.ts'
import { counted } from '../../../core/clinical/report/narrative-words.ts'
import type { Enrolment } from '../../../core/registry/enrolment.ts'
import { remarkedLinks } from '../../../flow/person/linked-subjects.ts'
import { personOf } from '../../../flow/person/person.ts'
import { recordRead } from '../../../flow/prove/record-read.ts'
import { enrol } from '../../../flow/register/enrol-subject.ts'
import { EXIT, type ExitCode } from '../exit-codes.ts'
import { onStore } from '../on-store.ts'
import type { OpenGateway } from '../open-gateway.ts'
import { armCentimetres } from '../options/arm-centimetres.ts'
import { settingsOption } from '../options/settings-option.ts'
import { wholeNumber } from '../options/whole-number.ts'
import { bad, good, quiet, strong, type Terminal } from '../terminal.ts'
import { enrolmentTable, linkLines, waitingTable } from '../told/enrolment-table.ts'

interface Options {
  readonly settings?: string
  readonly json?: true
}

interface PageOptions extends Options {
  readonly limit: number
  readonly after?: string
}

interface LinkOptions extends Options {
  readonly patientSystem: string
  readonly patient: string
  readonly zone: string
  readonly destination: string
  readonly armCm?: number
}

/** `enrolments`: whose sessions go to which patient of which clinic, and whose wait because nobody said. */
export function addEnrolments(
  program: Command,
  terminal: Terminal,
  openGateway: OpenGateway,
  done: (code: ExitCode) => void,
): void {
  const enrolments = program
    .command('enrolments')
    .summary('link subjects of sources to patients of clinics')
    .description(
      'Lists, shows and sets enrolments, on the store directly; the service may go on running, and heeds a change ' +
        'within half a minute. An enrolment is changed, never deleted: what was sent under it stays traceable.',
    )
  const command = (name: string, description: string) =>
    settingsOption(enrolments.command(name)).description(description).option('--json', 'the answer as JSON')
  const unknownSource = (): ExitCode => {
    terminal.remark(
      `${bad('refused')}  <source>: expected the name of a registered source. Register it with: sources add [UNKNOWN_SOURCE]`,
    )
    return EXIT.refused
  }

  command('list', 'list enrolments, by source and subject')
    .argument('[source]', 'only of this source')
    .option('--limit <number>', 'at most this many', wholeNumber, 50)
    .option('--after <source/subject>', 'those after this one')
    .action(async (source: string | undefined, options: PageOptions) => {
      const { limit, after } = options
      const page = { limit, ...(after === undefined ? {} : { after }) }
      const found = await onStore(openGateway, options, async (at) => {
        const isUnknown =
          source !== undefined && !(await at.store.sources()).some(({ name }) => name === source)
        if (isUnknown) return undefined
        const listed = await at.store.enrolmentPage({ ...page, ...(source === undefined ? {} : { source }) })
        await recordRead('operator', 'enrolments', source ?? '', at, { count: listed.length })
        return listed
      })
      if (found === undefined) return done(unknownSource())
      if (options.json) terminal.print(JSON.stringify({ items: found }))
      else if (found.length === 0) terminal.print(quiet('nobody is enrolled'))
      else terminal.print(enrolmentTable(found))
      const last = found.at(-1)
      if (last !== undefined && found.length === limit) {
        terminal.remark(quiet(visibleText(`more with --after '${last.source}/${last.subject}'`)))
      }
      done(EXIT.done)
    })

  command('show', 'one enrolment')
    .argument('<source>')
    .argument('<subject>')
    .action(async (source: string, subject: string, options: Options) => {
      const found = await onStore(openGateway, options, async (at) => {
        const [enrolment] = await at.store.enrolments(source, [subject])
        if (enrolment === undefined) return undefined
        await recordRead('operator', 'enrolment', source, at)
        return { enrolment, links: remarkedLinks(await personOf(enrolment, at)) }
      })
      if (found === undefined) {
        terminal.remark(
          `${bad('refused')}  <subject>: expected an enrolled subject of this source. List them with: enrolments list [NOT_FOUND]`,
        )
        return done(EXIT.refused)
      }
      const { enrolment, links } = found
      if (options.json) terminal.print(JSON.stringify({ ...enrolment, ...links }))
      else {
        terminal.print(enrolmentTable([enrolment]))
        for (const line of linkLines(links, terminal.width)) terminal.print(line)
      }
      done(EXIT.done)
    })

  command('set', 'enrol a subject, or change its enrolment, to another clinic as well')
    .argument('<source>')
    .argument('<subject>', 'the subject as the source writes it')
    .requiredOption('--patient-system <uri>', 'system of the clinic’s own identifier of the patient')
    .requiredOption('--patient <value>', 'that identifier')
    .requiredOption('--zone <iana>', 'time zone the patient lives in, such as Europe/Lisbon')
    .requiredOption('--destination <name>', 'the clinic: a destination of the settings')
    .option(
      '--arm-cm <number>',
      'mid-upper-arm circumference in centimetres, to check the cuff',
      armCentimetres,
    )
    .action(async (source: string, subject: string, options: LinkOptions) => {
      const enrolment = linkOf(source, subject, options)
      const result = await onStore(openGateway, options, (at) => enrol(enrolment, 'operator', at))
      if (!result.ok) {
        if (options.json) terminal.print(JSON.stringify({ issues: result.issues }))
        else
          for (const issue of result.issues)
            terminal.remark(`${bad('refused')}  ${issueText(issue)} [${issue.code}]`)
        return done(EXIT.refused)
      }
      const { enrolment: saved, ...told } = result.value
      const { queued, moving } = told
      if (options.json) terminal.print(JSON.stringify({ ...saved, ...told }))
      else {
        const words = `${strong(`${source} ${subject}`)} goes to ${enrolment.destination}.`
        const waited = `${counted(queued, 'session')} that had come before ${queued === 1 ? 'is' : 'are'} queued.`
        terminal.print(`${good('enrolled')}  ${words} ${waited}`)
        if (moving > 0) {
          terminal.print(
            `${moving} of what the clinic has under another patient ${moving === 1 ? 'is' : 'are'} queued to be brought over to this one.`,
          )
        }
        for (const line of linkLines(told, terminal.width)) terminal.print(line)
      }
      done(EXIT.done)
    })

  command('waiting', 'subjects of a source that sent sessions and are not enrolled')
    .argument('<source>')
    .option('--limit <number>', 'at most this many', wholeNumber, 50)
    .option('--after <subject>', 'those after this one')
    .action(async (source: string, options: PageOptions) => {
      const { limit, after } = options
      const found = await onStore(openGateway, options, async ({ store }) =>
        (await store.sources()).some(({ name }) => name === source)
          ? store.waitingSubjects(source, { limit, ...(after === undefined ? {} : { after }) })
          : undefined,
      )
      if (found === undefined) return done(unknownSource())
      if (options.json) terminal.print(JSON.stringify({ items: found }))
      else if (found.length === 0) terminal.print(quiet('nobody waits'))
      else terminal.print(waitingTable(found))
      const last = found.at(-1)
      if (last !== undefined && found.length === limit) {
        terminal.remark(quiet(visibleText(`more with --after '${last.subject}'`)))
      }
      done(EXIT.done)
    })
}

function linkOf(source: string, subject: string, options: LinkOptions): Enrolment {
  const { patientSystem, patient, zone, destination, armCm } = options
  return {
    source,
    subject,
    patient: { system: patientSystem, value: patient },
    zone,
    destination,
    ...(armCm === undefined ? {} : { armCircumferenceCm: armCm }),
  }
}
