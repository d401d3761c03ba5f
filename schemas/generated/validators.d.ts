/* Written by `npm run generate` from the schemas. Do not edit. */
export interface SchemaError {
  readonly keyword: string;
  readonly instancePath: string;
  readonly schemaPath: string;
  readonly params: Readonly<Record<string, unknown>>;
  readonly propertyName?: string;
}
export interface Validator {
  (value: unknown): boolean;
  errors?: readonly SchemaError[] | null;
}
export declare const validateProcedure: Validator;
export declare const validateEquipment: Validator;
export declare const validateAnswers: Validator;
export declare const validateRunRecord: Validator;
