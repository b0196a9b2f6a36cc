// Reference libraries for tests: what is installed for the checks, wherever
// that is (LINKBOY_NODE_MODULES, else .ci/node/node_modules).

import { createRequire } from 'node:module';
import { fileURLToPath } from 'node:url';
import { join } from 'node:path';

const modules = process.env.LINKBOY_NODE_MODULES ?? fileURLToPath(new URL('../../.ci/node/node_modules', import.meta.url));
export const reference = createRequire(join(modules, '..', 'for-tests.cjs'));
