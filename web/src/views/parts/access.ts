// Which pages a role has. The server decides each request; this only keeps people from pages that would say no.
import type { Permissions } from '../../shared/api/types';
import type { Route } from '../../shared/routes';

const needs: Partial<Record<Route['name'], keyof Permissions>> = {
  students: 'read_all',
  people: 'read_all',
  aircraft: 'read_all',
  aircraftFile: 'read_all',
  remarking: 'read_all',
  audit: 'read_audit',
};

export function mayOpen(name: Route['name'], permissions: Permissions | undefined): boolean {
  const need = needs[name];
  return need === undefined || permissions?.[need] === true;
}
