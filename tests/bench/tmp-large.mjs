import { moreData } from './first.mjs';
import { writeFile } from 'node:fs/promises';
const data = JSON.parse(await moreData()); delete data.jobtorque;
await writeFile('/tmp/large.json', JSON.stringify(data));
