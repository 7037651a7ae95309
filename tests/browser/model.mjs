// Holds model.glb to the Khronos validator: no error, no warning.
import validator from "gltf-validator";
import { readFileSync } from "node:fs";
import { resolve } from "node:path";

const file = resolve(process.argv[2], "model.glb");
const report = await validator.validateBytes(new Uint8Array(readFileSync(file)));
const { numErrors, numWarnings } = report.issues;
console.log(`model.glb by the Khronos validator ${report.validatorVersion}: ${numErrors} errors, ${numWarnings} warnings`);
if (numErrors + numWarnings > 0) {
  console.error(JSON.stringify(report.issues.messages, null, 1));
  process.exit(1);
}
