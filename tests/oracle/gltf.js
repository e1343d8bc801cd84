// Puts binary glTF files under the official validator: no error, warning, information or hint is let pass.
//
//     npm install gltf-validator
//     NODE_PATH=.../node_modules node tests/oracle/gltf.js FILE ...
"use strict";
const fs = require("fs");
const validator = require("gltf-validator");

const names = ["errors", "warnings", "infos", "hints"];

async function main(paths) {
  let bad = paths.length === 0;
  for (const path of paths) {
    const report = await validator.validateBytes(new Uint8Array(fs.readFileSync(path)));
    const counts = [report.issues.numErrors, report.issues.numWarnings, report.issues.numInfos, report.issues.numHints];
    console.log(`${path.split("/").slice(-2).join("/")}: ${names.map((name, at) => `${counts[at]} ${name}`).join(", ")}`);
    report.issues.messages.forEach((message) => console.log(`  ${message.code} ${message.pointer}: ${message.message}`));
    bad = bad || counts[0] + counts[1] > 0;
  }
  process.exit(bad ? 1 : 0);
}

main(process.argv.slice(2));
