SET client_min_messages TO warning;
CREATE EXTENSION postgis;
CREATE TABLE gauges (gauge text, name text, elevation_m real, bucket_mm numeric(6, 3), opened timestamptz,
                     closed date, place geometry(Point, 3035));
INSERT INTO gauges VALUES
  ('A1', 'Upper Mill', 412.5, 0.254, '2001-05-01 02:00+02', NULL, ST_SetSRID(ST_MakePoint(4321000, 3210000), 3035)),
  ('A2', NULL, NULL, NULL, NULL, NULL, ST_SetSRID(ST_MakePoint(4331000, 3210000), 3035)),
  ('A3', 'Ödalm', 7, 0.1, NULL, '2020-02-29', ST_SetSRID(ST_MakePoint(4331000, 3222000.5), 3035));
CREATE TABLE catchments (catchment integer, outline geometry(MultiPolygon, 3035));
INSERT INTO catchments VALUES
  (7, ST_SetSRID(ST_Multi(ST_MakeEnvelope(4321000, 3210000, 4331000, 3220000)), 3035));
CREATE TABLE basins (id integer, code text, name text, outline geometry(Geometry, 4326));
INSERT INTO basins VALUES
  (1, 'west', 'Lange Öd', ST_GeomFromText('POLYGON ((9.99 50, 10.04 50, 10.04 50.09, 9.99 50.09, 9.99 50), (10 50.02, 10.02 50.02, 10.02 50.03, 10 50.02))', 4326)),
  (1, 'east', NULL, ST_GeomFromText('MULTIPOLYGON (((10.06 50, 10.1 50, 10.1 50.03, 10.06 50)), ((10.06 50.05, 10.08 50.05, 10.08 50.07, 10.06 50.05)))', 4326));
