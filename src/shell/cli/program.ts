import { Command, CommanderError, InvalidArgumentError } from 'commander'
import { GatewayError } from '../../core/basics/gateway-error.ts'
import { CAUTION } from '../../core/clinical/report/caution.ts'
import { addAudit } from './commands/audit.ts'
import { addReport } from './commands/audit-report.ts'
import { addAverage } from './commands/average.ts'
import { addCompare } from './commands/compare.ts'
import { addConvert } from './commands/convert.ts'
import { addDeliveries } from './commands/deliveries.ts'
import { addDemo } from './commands/demo.ts'
import { addDestinations } from './commands/destinations.ts'
import { addEnrolments } from './commands/enrolments.ts'
import { addKeys } from './commands/keys.ts'
import { addMapping } from './commands/mapping.ts'
import { addPeriods } from './commands/periods.ts'
import { addProtocols } from './commands/protocols.ts'
import { addReceive } from './commands/receive.ts'
import { addServe } from './commands/serve.ts'
import { addSources } from './commands/sources.ts'
import { addStore } from './commands/store.ts'
import { addValidate } from './commands/validate.ts'
import { EXIT, type ExitCode } from './exit-codes.ts'
import type { OpenGateway } from './open-gateway.ts'
import { bad, type Terminal } from './terminal.ts'

/**
 * Runs one command line and returns its exit code. Never throws and never ends the process: the entry file does.
 *
 * @param argv the words after the program's name.
 */
export async function runCommandLine(
  argv: readonly string[],
  terminal: Terminal,
  openGateway: OpenGateway,
  version: string,
): Promise<ExitCode> {
  let code: ExitCode = EXIT.done
  const done = (ended: ExitCode) => {
    code = ended
  }
  const program = new Command('home-bp-gateway')
    .description('Blood pressure measured at home, as one trustworthy average in the clinic’s FHIR record.')
    .version(version)
    .exitOverride()
    .showHelpAfterError('(--help lists what there is)')
    .configureOutput({
      writeOut: (text) => terminal.print(text.trimEnd()),
      writeErr: (text) => terminal.remark(text.trimEnd()),
    })
    .addHelpText(
      'after',
      `\nExit codes: 0 done, 1 refused or not valid, 2 usage, 3 a file, the store or a server failed.\n\n${CAUTION}`,
    )
  addServe(program, terminal, openGateway, done)
  addReceive(program, terminal, openGateway, done)
  addConvert(program, terminal, done)
  addMapping(program, terminal, done)
  addAverage(program, terminal, done)
  addCompare(program, terminal, done)
  addProtocols(program, terminal, done)
  addValidate(program, terminal, done)
  addReport(program, terminal, version, done)
  addSources(program, terminal, openGateway, done)
  addEnrolments(program, terminal, openGateway, done)
  addPeriods(program, terminal, openGateway, done)
  addDeliveries(program, terminal, openGateway, done)
  addDestinations(program, terminal, openGateway, done)
  addKeys(program, terminal, openGateway, done)
  addStore(program, terminal, openGateway, done)
  addAudit(program, terminal, openGateway, done)
  addDemo(program, terminal, openGateway, done)

  try {
    await program.parseAsync([...argv], { from: 'user' })
    return code
  } catch (thrown) {
    // One that a command threw, and not a parser of options, was not told yet.
    if (thrown instanceof InvalidArgumentError) terminal.remark(`${bad('usage')}  ${thrown.message}`)
    if (thrown instanceof CommanderError) return thrown.exitCode === 0 ? EXIT.done : EXIT.usage
    if (!(thrown instanceof GatewayError)) throw thrown
    terminal.remark(`${bad('failed')}  ${thrown.message} [${thrown.code}]`)
    return EXIT.worldFailed
  }
}
