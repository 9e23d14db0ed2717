// Holds each resource of a document against the published schema of FHIR R4B; see DEVELOPERS.md, "Long runs".
const Ajv = require("ajv"), fs = require("fs");
const schema = JSON.parse(fs.readFileSync(require.resolve("hl7.fhir.r4b.core/openapi/fhir.schema.json")));
const ajv = new Ajv({ schemaId: "auto", allErrors: true, unknownFormats: "ignore", logger: false });
ajv.addMetaSchema(require("ajv/lib/refs/json-schema-draft-06.json"));
ajv.addSchema(schema, "fhir");
const entries = JSON.parse(fs.readFileSync(process.argv[2])).entry;
let wrong = 0;
for (const { resource } of entries) {
  const fits = ajv.getSchema("fhir#/definitions/" + resource.resourceType);
  if (!fits(resource)) {
    wrong += 1;
    console.log(resource.resourceType, resource.id, JSON.stringify(fits.errors.slice(0, 2)));
  }
}
console.log(`${entries.length} resources, ${wrong} wrong`);
process.exit(wrong ? 1 : 0);
