#!/usr/bin/env node
import { readFileSync } from 'node:fs'
import { openGateway } from './gateway.ts'
import { runCommandLine } from './shell/cli/program.ts'
import { processTerminal } from './shell/cli/terminal.ts'

const { version } = JSON.parse(readFileSync(new URL('../package.json', import.meta.url), 'utf8'))

process.exitCode = await runCommandLine(process.argv.slice(2), processTerminal(), openGateway, version)
