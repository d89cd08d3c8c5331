import { mkdirSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Command } from 'commander'
import { averageTable } from '../demo/average-table.ts'
import { startClinicServer } from '../demo/clinic-server.ts'
import { type DemoStep, runDemo } from '../demo/run-demo.ts'
import { readScenario } from '../demo/scenario.ts'
import { EXIT, type ExitCode } from '../exit-codes.ts'
import type { OpenGateway } from '../open-gateway.ts'
import { bad, good, quiet, strong, type Terminal } from '../terminal.ts'

interface DemoOptions {
  readonly data?: string
  readonly clinic?: string
  readonly json?: true
}

/** `demo`: the whole job on the samples, against a FHIR server that is not ours. */
export function addDemo(
  program: Command,
  terminal: Terminal,
  openGateway: OpenGateway,
  done: (code: ExitCode) => void,
): void {
  program
    .command('demo')
    .summary('the whole job on the invented samples, against a FHIR server that is not ours')
    .description(
      'Starts the gateway and a clinic’s FHIR server, submits the sample sessions twice, closes the periods, delivers, ' +
        'and reads the averages back from the clinic’s server. The second round must change nothing there.',
    )
    .option(
      '--data <folder>',
      'keep the gateway’s store here, so that a broken run can go on; needs --clinic',
    )
    .option('--clinic <url>', 'deliver to this FHIR server instead; it must know the sample people')
    .option('--json', 'each step as one line of JSON')
    .action(async (options: DemoOptions) => {
      if (options.data !== undefined && options.clinic === undefined) {
        terminal.remark(`${bad('usage')}  --data needs --clinic: the built-in clinic forgets when it stops`)
        done(EXIT.usage)
        return
      }
      done(await demo(options, terminal, openGateway))
    })
}

async function demo(options: DemoOptions, terminal: Terminal, openGateway: OpenGateway): Promise<ExitCode> {
  const scenario = readScenario()
  const patients = scenario.people.map(({ name, patient }) => ({ name, identifier: patient }))
  const builtIn = options.clinic === undefined ? await startClinicServer({ patients }) : undefined
  const folder = options.data ?? mkdtempSync(join(tmpdir(), 'home-bp-demo-'))
  mkdirSync(folder, { recursive: true })
  const counts: string[] = []
  let delivered = true
  try {
    await runDemo({
      folder,
      clinic: options.clinic ?? builtIn?.baseUrl ?? '',
      openGateway,
      tell(step) {
        if (step.step === 'counted') counts.push(JSON.stringify(step.clinic))
        if (step.step === 'scheduled' && step.waiting + step.givenUp > 0) delivered = false
        if (options.json) terminal.print(JSON.stringify(step))
        else for (const line of told(step, scenario.clinic.name, terminal.width)) terminal.print(line)
      },
    })
  } finally {
    await builtIn?.close()
    if (options.data === undefined) rmSync(folder, { recursive: true, force: true })
  }

  const unchanged = counts.every((count) => count === counts[0])
  if (!options.json) {
    terminal.print(
      unchanged
        ? good('The second round changed nothing at the clinic.')
        : bad('The second round changed something at the clinic.'),
    )
  }
  return unchanged && delivered ? EXIT.done : EXIT.worldFailed
}

function told(step: DemoStep, clinic: string, width: number): readonly string[] {
  switch (step.step) {
    case 'started':
      return [`${strong('Gateway')} on ${step.gateway}, ${strong(clinic)}’s FHIR server on ${step.clinic}`]
    case 'registered':
      return [
        `Source ${step.source} registered, ${step.people} people enrolled, ${step.periodsOpened} periods opened.`,
      ]
    case 'submitted':
      return [
        quiet(
          `  round ${step.round}  ${step.subject}: ${step.kept} sessions kept, ${step.same} known already`,
        ),
      ]
    case 'scheduled':
      return [
        `Round ${step.round}: ${step.closed} periods closed, ${step.settled} deliveries settled ` +
          `(${step.created} resources created, ${step.alreadyThere} already there), ` +
          `${step.waiting} waiting, ${step.givenUp} given up.`,
      ]
    case 'counted':
      return [
        `  at the clinic: ${Object.entries(step.clinic)
          .map(([type, count]) => `${count} ${type}`)
          .join(', ')}`,
      ]
    case 'read back':
      return [
        '',
        `${strong('Averages, read back from the clinic’s server')}`,
        averageTable(step.averages, width),
      ]
  }
}
