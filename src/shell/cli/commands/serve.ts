import type { Command } from 'commander'
import { CAUTION } from '../../../core/clinical/report/caution.ts'
import { EXIT, type ExitCode } from '../exit-codes.ts'
import type { OpenGateway } from '../open-gateway.ts'
import { loadSettings, settingsOption } from '../options/settings-option.ts'
import { quiet, strong, type Terminal } from '../terminal.ts'

/** `serve`: the gateway as a service, until it is told to stop. */
export function addServe(
  program: Command,
  terminal: Terminal,
  openGateway: OpenGateway,
  done: (code: ExitCode) => void,
): void {
  const command = program
    .command('serve')
    .summary('run the gateway: receive, average by the clock, deliver')
    .description(
      'Runs the gateway until it gets SIGINT or SIGTERM. Without access configured it listens on loopback only and ' +
        'refuses to start anywhere else.',
    )
    .option('--json', 'the start message as one line of JSON')
  settingsOption(command).action(async (options: { settings?: string; json?: true }) => {
    const settings = loadSettings(options.settings)
    const gateway = await openGateway(settings)
    const stop = untilToldToStop()
    try {
      const { url } = await gateway.listen()
      await gateway.startSchedule()
      if (options.json) terminal.print(JSON.stringify({ listening: url, access: settings.access }))
      else {
        terminal.print(
          `${strong('Listening')} on ${url} (access ${settings.access}, store ${settings.store.file})`,
        )
        terminal.print(quiet(CAUTION))
      }
      await stop
    } finally {
      await gateway.stop()
    }
    done(EXIT.done)
  })
}

function untilToldToStop(): Promise<void> {
  return new Promise((resolve) => {
    process.once('SIGINT', resolve)
    process.once('SIGTERM', resolve)
  })
}
