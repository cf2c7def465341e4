/** The script with everything, as it stands beside the first part. */
export { answering } from '../../../www/define.js';
