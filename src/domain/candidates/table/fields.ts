/**
 * The fields that a column of a table can hold, in the order of the mapping screen, and the headers by which they are known.
 * Headers stand as they are written without case, spaces, signs and units; earlier wins. Darwin Core terms (TDWG quick
 * reference guide, from memory) stand among them; the others are the usual words of a notebook (common practice, no source).
 */
import type { TextField } from '../candidates.ts';

export type Field =
  | 'id'
  | 'lon'
  | 'lat'
  | 'coordinates'
  | 'easting'
  | 'northing'
  | 'utmZone'
  | 'wkt'
  | 'datum'
  | 'accuracy'
  | 'precision'
  | 'species'
  | 'commonName'
  | 'genus'
  | 'epithet'
  | 'infraspecific'
  | 'dbh'
  | 'form'
  | 'crown'
  | 'crop'
  | 'permission'
  | 'status'
  | Exclude<TextField, 'file' | 'row'>;

export interface FieldInfo {
  readonly field: Field;
  /** As the screen names it. */
  readonly label: string;
  readonly help: string;
  /** How its cells are read: an angle or a distance on the ground, a number, a name of an oak, a date, a word of a list, text. */
  readonly kind: 'position' | 'number' | 'species' | 'date' | 'choice' | 'text';
  /** Where the field stands on the screen. */
  readonly group: 'tree' | 'position' | 'species' | 'quality' | 'origin' | 'record';
  /** Headers known by (compared without case, spaces, signs and units), the surest first. */
  readonly headers: readonly string[];
}

const words = (text: string): readonly string[] => text.split(' ').filter(Boolean);

export const FIELDS: readonly FieldInfo[] = [
  {
    field: 'id',
    label: 'Tree number or tag',
    help: 'Names each tree once. A repeated one gets a suffix; an empty one is called by its row.',
    kind: 'text',
    group: 'tree',
    headers: words(
      'id treeid treeno treenumber treenum tree tag treetag tagno tagnumber tagid candidateid candidate number no code occurrenceID catalogNumber recordNumber organismID materialSampleID',
    ),
  },
  {
    field: 'name',
    label: 'Name of the tree',
    help: 'A name besides the number, such as "Spring Hill bur oak".',
    kind: 'text',
    group: 'tree',
    headers: words('name treename title label organismName'),
  },
  {
    field: 'lon',
    label: 'Longitude',
    help: 'Degrees, with a minus sign or W in America: -84.51, 84.51 W, 84° 30\' 36" W, 84 30.6 W. Or x, in the coordinate system of the layer.',
    kind: 'position',
    group: 'position',
    headers: words(
      'decimalLongitude longitude lon long lng x londd longdd longitudedd gpslongitude gpslon gpslong pointx xcoord verbatimLongitude',
    ),
  },
  {
    field: 'lat',
    label: 'Latitude',
    help: 'Degrees: 38.12, 38.12 N, 38° 7\' 12" N, 38 7.2 N. Or y, in the coordinate system of the layer.',
    kind: 'position',
    group: 'position',
    headers: words(
      'decimalLatitude latitude lat y latdd latitudedd gpslatitude gpslat pointy ycoord verbatimLatitude',
    ),
  },
  {
    field: 'coordinates',
    label: 'Position in one column',
    help: 'Latitude and longitude in one cell ("38.1234, -84.5678"), or a UTM zone, easting and northing ("16S 684000 4205000").',
    kind: 'position',
    group: 'position',
    headers: words(
      'verbatimCoordinates coordinates coordinate coords latlon latlong latlng latitudelongitude latlongitude position gpscoordinates gpscoords gpsposition gps utm utmcoordinates',
    ),
  },
  {
    field: 'easting',
    label: 'Easting',
    help: 'Metres east in a UTM zone, or x in the coordinate system of the layer.',
    kind: 'position',
    group: 'position',
    headers: words('easting east e utme utmx utmeast utmeasting eastingm xutm eutm eastingutm'),
  },
  {
    field: 'northing',
    label: 'Northing',
    help: 'Metres north in a UTM zone, or y in the coordinate system of the layer.',
    kind: 'position',
    group: 'position',
    headers: words('northing north n utmn utmy utmnorth utmnorthing northingm yutm nutm northingutm'),
  },
  {
    field: 'utmZone',
    label: 'UTM zone',
    help: 'Number and letter of the zone for each row: 16N, or 16S with the letter of the latitude band.',
    kind: 'text',
    group: 'position',
    headers: words('utmzone zoneutm gridzone utmgridzone zone'),
  },
  {
    field: 'wkt',
    label: 'Geometry (WKT)',
    help: 'Well-known text: POINT (-84.51 38.12). Of an outline its middle is taken.',
    kind: 'position',
    group: 'position',
    headers: words('wkt geometrywkt wktgeometry wktgeom geomwkt thegeom geom geometry shape footprintWKT'),
  },
  {
    field: 'datum',
    label: 'Datum',
    help: 'Geodetic datum of the position: WGS 84, NAD83, NAD27, or an EPSG code. WGS 84 where it is empty.',
    kind: 'text',
    group: 'position',
    headers: words('geodeticDatum verbatimSRS datum gpsdatum mapdatum horizontaldatum'),
  },
  {
    field: 'accuracy',
    label: 'Position accuracy',
    help: 'Radius within which the tree stands, in metres unless the header or the cell names another unit.',
    kind: 'number',
    group: 'position',
    headers: words(
      'coordinateUncertaintyInMeters accuracy gpsaccuracy positionaccuracy horizontalaccuracy precision uncertainty error gpserror epe',
    ),
  },
  {
    field: 'precision',
    label: 'Rounding of the coordinates',
    help: 'Degrees to which the coordinates were rounded; stands for the accuracy where that is not recorded.',
    kind: 'number',
    group: 'position',
    headers: words('coordinatePrecision'),
  },
  {
    field: 'species',
    label: 'Species',
    help: 'Scientific or common name, or a code such as QUAL. "x" or "×" marks a hybrid.',
    kind: 'species',
    group: 'species',
    headers: words(
      'scientificName species taxon latinname taxonname sp speciesname speciescode spp spcd treespecies acceptedNameUsage verbatimIdentification',
    ),
  },
  {
    field: 'commonName',
    label: 'Common name',
    help: 'Used where the species is not recorded or not known.',
    kind: 'species',
    group: 'species',
    headers: words('vernacularName commonname common englishname speciescommon commonspecies'),
  },
  {
    field: 'genus',
    label: 'Genus',
    help: 'With the epithet, where the name stands in two columns.',
    kind: 'species',
    group: 'species',
    headers: words('genus'),
  },
  {
    field: 'epithet',
    label: 'Species epithet',
    help: 'Second word of the scientific name.',
    kind: 'species',
    group: 'species',
    headers: words('specificEpithet epithet speciesepithet'),
  },
  {
    field: 'infraspecific',
    label: 'Variety or subspecies',
    help: 'Third word of the scientific name.',
    kind: 'species',
    group: 'species',
    headers: words('infraspecificEpithet variety subspecies var subsp'),
  },
  {
    field: 'qualifier',
    label: 'Identification qualifier',
    help: '"cf." or "aff.": the species is in doubt.',
    kind: 'text',
    group: 'species',
    headers: words('identificationQualifier qualifier idqualifier iddoubt'),
  },
  {
    field: 'identifiedBy',
    label: 'Identified by',
    help: 'Who identified the tree.',
    kind: 'text',
    group: 'species',
    headers: words('identifiedBy determiner idby determinedby'),
  },
  {
    field: 'keyUsed',
    label: 'Key used',
    help: 'The key to the oaks with which the tree was identified.',
    kind: 'text',
    group: 'species',
    headers: words('keyused key idmethod identificationkey identificationReferences'),
  },
  {
    field: 'dbh',
    label: 'Diameter at breast height',
    help: 'Centimetres unless the header or the cell names another unit ("dbh_in", "22 in").',
    kind: 'number',
    group: 'quality',
    headers: words('dbh diameter diameteratbreastheight diam'),
  },
  {
    field: 'form',
    label: 'Stem form',
    help: 'Score from 0 to 4.',
    kind: 'number',
    group: 'quality',
    headers: words('form stemform formscore'),
  },
  {
    field: 'crown',
    label: 'Crown',
    help: 'Score from 0 to 4.',
    kind: 'number',
    group: 'quality',
    headers: words('crown crownscore crowncondition'),
  },
  {
    field: 'crop',
    label: 'Crop class',
    help: 'Acorn crop last seen, from 0 to 4.',
    kind: 'number',
    group: 'quality',
    headers: words('crop cropclass cropscore lastcrop acorncrop mast mastclass'),
  },
  {
    field: 'owner',
    label: 'Owner',
    help: 'Who owns the land.',
    kind: 'text',
    group: 'record',
    headers: words('owner landowner ownername contact rightsHolder'),
  },
  {
    field: 'permission',
    label: 'Permission',
    help: 'Granted, asked or refused; "yes" and "no" are understood.',
    kind: 'choice',
    group: 'record',
    headers: words('permission access ownerpermission accesspermission'),
  },
  {
    field: 'stand',
    label: 'Stand or place',
    help: 'Name of the stand, wood or place.',
    kind: 'text',
    group: 'record',
    headers: words(
      'stand standid site sitename location grove population locality verbatimLocality locationID',
    ),
  },
  {
    field: 'county',
    label: 'County',
    help: 'County or district.',
    kind: 'text',
    group: 'record',
    headers: words('county countyname district'),
  },
  {
    field: 'setting',
    label: 'Setting',
    help: 'Where it grows: forest, old field, fence row, yard, roadside ...',
    kind: 'text',
    group: 'origin',
    headers: words('setting siteclass sitetype landuse place habitat'),
  },
  {
    field: 'establishmentMeans',
    label: 'Establishment means',
    help: 'Darwin Core: native, introduced, uncertain ...',
    kind: 'choice',
    group: 'origin',
    headers: words('establishmentMeans'),
  },
  {
    field: 'degreeOfEstablishment',
    label: 'Degree of establishment',
    help: 'Darwin Core: native, cultivated, established ...',
    kind: 'choice',
    group: 'origin',
    headers: words('degreeOfEstablishment'),
  },
  {
    field: 'regeneration',
    label: 'Natural regeneration',
    help: 'Seedlings or saplings seen nearby.',
    kind: 'text',
    group: 'origin',
    headers: words('regeneration regen seedlingsnearby naturalregeneration'),
  },
  {
    field: 'count',
    label: 'Number of trees',
    help: 'How many trees the record stands for.',
    kind: 'text',
    group: 'record',
    headers: words('count trees treecount numberoftrees individualCount organismQuantity'),
  },
  {
    field: 'status',
    label: 'Present or absent',
    help: 'Records of a species that was looked for and not found are left out.',
    kind: 'choice',
    group: 'record',
    headers: words('occurrenceStatus'),
  },
  {
    field: 'date',
    label: 'Date seen',
    help: '2024-09-30, 9/30/2024 or 30.9.2024. A date that may be read in two ways is kept as written.',
    kind: 'date',
    group: 'record',
    headers: words('eventDate date observed dateobserved visitdate visited verbatimEventDate'),
  },
  {
    field: 'recordedBy',
    label: 'Recorded by',
    help: 'Who wrote the record.',
    kind: 'text',
    group: 'record',
    headers: words('recordedBy recorder observer observedby collector scout surveyor'),
  },
  {
    field: 'notes',
    label: 'Notes',
    help: 'Anything else.',
    kind: 'text',
    group: 'record',
    headers: words(
      'notes note remarks comments comment occurrenceRemarks fieldNotes eventRemarks organismRemarks locationRemarks',
    ),
  },
];

/** The Darwin Core terms (TDWG) among the headers. */
export const DARWIN_CORE: readonly string[] = words(
  'occurrenceID catalogNumber recordNumber organismID materialSampleID organismName decimalLongitude verbatimLongitude decimalLatitude verbatimLatitude verbatimCoordinates footprintWKT geodeticDatum verbatimSRS coordinateUncertaintyInMeters coordinatePrecision scientificName acceptedNameUsage verbatimIdentification vernacularName genus specificEpithet infraspecificEpithet identificationQualifier identifiedBy identificationReferences rightsHolder locality verbatimLocality locationID county habitat establishmentMeans degreeOfEstablishment individualCount organismQuantity occurrenceStatus eventDate verbatimEventDate recordedBy occurrenceRemarks fieldNotes eventRemarks organismRemarks locationRemarks',
);

/** Fields in which a mapping may be written in a plan. */
export const FIELD_NAMES: ReadonlySet<string> = new Set(FIELDS.map((f) => f.field));
