import { type Command, Option } from 'commander'
import { hasMoved, type MovedServer, resumeRoute } from '../../../flow/operate/resume-route.ts'
import { toldDestinations } from '../../../flow/operate/told-destination.ts'
import { EXIT, type ExitCode } from '../exit-codes.ts'
import { onStore } from '../on-store.ts'
import type { OpenGateway } from '../open-gateway.ts'
import { settingsOption } from '../options/settings-option.ts'
import { bad, quiet, type Terminal } from '../terminal.ts'
import { destinationLines } from '../told/destination-lines.ts'

interface Options {
  readonly settings?: string
  readonly json?: true
}

/** `destinations`: how each clinic is served and why, what waits, and sending again to one that was stopped. */
export function addDestinations(
  program: Command,
  terminal: Terminal,
  openGateway: OpenGateway,
  done: (code: ExitCode) => void,
): void {
  const destinations = program
    .command('destinations')
    .summary('how each clinic is served, and what stands in the way')
    .description('Shows and resumes destinations, on the store directly; the service may go on running.')

  settingsOption(destinations.command('list'))
    .description('each destination: how it is served and why, what is on its way, how old the oldest is')
    .option('--json', 'the answer as JSON')
    .action(async (options: Options) => {
      const told = await onStore(openGateway, options, toldDestinations)
      if (options.json) terminal.print(JSON.stringify({ items: told }))
      else if (told.length === 0) terminal.print(quiet('no destination in the settings'))
      else for (const line of destinationLines(told, terminal.width)) terminal.print(line)
      done(EXIT.done)
    })

  settingsOption(destinations.command('resume'))
    .description('send to a stopped destination again; or say that another server stands at its address')
    .argument('<name>', 'name of the destination')
    .addOption(
      new Option(
        '--server <which>',
        'whether it is the server that was served before; has to be said of one that moved. With other, nothing that was known of the server counts any more',
      ).choices(['same', 'other']),
    )
    .option('--json', 'the answer as JSON')
    .action(async (name: string, options: Options & { server?: MovedServer }) => {
      const resumed = await onStore(openGateway, options, async (at) =>
        !at.catalogue.destinations.has(name)
          ? 'unknown'
          : options.server === undefined && hasMoved(await at.store.route(name))
            ? 'moved'
            : resumeRoute(name, 'operator', at, options.server),
      )
      if (resumed === 'moved') {
        terminal.remark(
          `${bad('refused')}  --server: expected same or other, because the destination’s address has changed. [DESTINATION_MOVED]`,
        )
        return done(EXIT.refused)
      }
      if (resumed === 'unknown') {
        terminal.remark(
          `${bad('refused')}  <name>: expected a destination of the settings. [UNKNOWN_DESTINATION]`,
        )
        return done(EXIT.refused)
      }
      if (options.json) terminal.print(JSON.stringify({ name, resumed }))
      else terminal.print(resumed ? `${name} is sent to again.` : `${name} was not stopped.`)
      done(EXIT.done)
    })
}
