"""The entries of a period as one HL7 FHIR R4B document."""
