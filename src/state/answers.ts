/** What jobs answer, as types for the screens, which know the state and not the jobs. */
export type {
  FileFacts,
  Inspection,
  LayerView,
  RasterFigures,
  Sample,
  SiteOutline,
  SiteOutlines,
  SystemGuess,
  TableChoices,
  TableSurvey,
  ZoneContacts,
} from '../jobs/protocol.ts';
