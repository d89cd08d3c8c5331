export { FIRST } from './selection/first-reading.ts'
