;; The floating-point predictor of TIFF (technical note 3) undone for rows of 32-bit cells, by vectors (WebAssembly SIMD).
;; src/cli/floatPlanes.ts makes floatPlanesModule.ts of this.
;;
;; A row of n cells comes as four planes of n bytes, those of the highest significance first, each byte stored less the one
;; before it in the row. The planes are interleaved into cells first: the sums then run over four planes at once, and a vector
;; of four cells takes two steps (by one cell, by two) and the cell before.
;;
;; The rows lie from address 4n + 64 on, the cells are written from address 0 on. So the cells of a row fall where the row
;; before was, and the up to 15 cells written beyond its end fall between the two. Up to 15 bytes behind the last row are read.
(module
  ;; 4 MiB, of which a host takes up only what is used. It never grows: that would detach its buffer, and once any buffer is
  ;; detached V8 checks for it at each access to any typed array (measured: unpacking of LZW a fifth slower).
  (memory (export "memory") 64 64)

  ;; The sum of n bytes; right modulo 256.
  (func $total (param $at i32) (param $n i32) (result i32)
    (local $end i32) (local $sum v128)
    (local.set $end (i32.add (local.get $at) (i32.and (local.get $n) (i32.const -16))))
    (block $done
      (loop $next
        (br_if $done (i32.eq (local.get $at) (local.get $end)))
        (local.set $sum (i8x16.add (local.get $sum) (v128.load (local.get $at))))
        (local.set $at (i32.add (local.get $at) (i32.const 16)))
        (br $next)))
    ;; Of the last vector only the bytes that are left.
    (local.set $sum (i8x16.add (local.get $sum) (v128.and
      (v128.load (local.get $at))
      (i8x16.lt_u
        (v128.const i8x16 0 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15)
        (i8x16.splat (i32.and (local.get $n) (i32.const 15)))))))
    (local.set $sum (i32x4.extadd_pairwise_i16x8_u (i16x8.extadd_pairwise_i8x16_u (local.get $sum))))
    (i32.add
      (i32.add (i32x4.extract_lane 0 (local.get $sum)) (i32x4.extract_lane 1 (local.get $sum)))
      (i32.add (i32x4.extract_lane 2 (local.get $sum)) (i32x4.extract_lane 3 (local.get $sum)))))

  (func (export "undo") (param $rows i32) (param $n i32)
    (local $out i32) (local $end i32)
    ;; Where the next bytes of the four planes lie, and those bytes.
    (local $at0 i32) (local $at1 i32) (local $at2 i32) (local $at3 i32)
    (local $plane0 v128) (local $plane1 v128) (local $plane2 v128) (local $plane3 v128)
    (local $sum1 i32) (local $sum2 i32) (local $sum3 i32)
    ;; Halves of cells, cells, the cell before them four times, nought.
    (local $low v128) (local $high v128) (local $cells v128) (local $before v128) (local $zero v128)
    (local.set $at3 (i32.add (i32.shl (local.get $n) (i32.const 2)) (i32.const 64)))
    (block $done
      (loop $row
        (br_if $done (i32.eqz (local.get $rows)))
        (local.set $at0 (local.get $at3))
        (local.set $at1 (i32.add (local.get $at0) (local.get $n)))
        (local.set $at2 (i32.add (local.get $at1) (local.get $n)))
        (local.set $at3 (i32.add (local.get $at2) (local.get $n)))
        ;; Each plane goes on from the end of the one before.
        (local.set $sum1 (call $total (local.get $at0) (local.get $n)))
        (local.set $sum2 (i32.add (local.get $sum1) (call $total (local.get $at1) (local.get $n))))
        (local.set $sum3 (i32.add (local.get $sum2) (call $total (local.get $at2) (local.get $n))))
        (local.set $before (i32x4.splat (i32.or
          (i32.or
            (i32.shl (i32.and (local.get $sum1) (i32.const 255)) (i32.const 16))
            (i32.shl (i32.and (local.get $sum2) (i32.const 255)) (i32.const 8)))
          (i32.and (local.get $sum3) (i32.const 255)))))
        (local.set $end (local.get $at1))
        (loop $next
          (local.set $plane0 (v128.load (local.get $at0)))
          (local.set $plane1 (v128.load (local.get $at1)))
          (local.set $plane2 (v128.load (local.get $at2)))
          (local.set $plane3 (v128.load (local.get $at3)))

          ;; The first eight cells.
          (local.set $low (i8x16.shuffle 0 16 1 17 2 18 3 19 4 20 5 21 6 22 7 23
            (local.get $plane3) (local.get $plane2)))
          (local.set $high (i8x16.shuffle 0 16 1 17 2 18 3 19 4 20 5 21 6 22 7 23
            (local.get $plane1) (local.get $plane0)))
          (local.set $cells (i8x16.shuffle 0 1 16 17 2 3 18 19 4 5 20 21 6 7 22 23
            (local.get $low) (local.get $high)))
          (local.set $cells (i8x16.add (local.get $cells)
            (i8x16.shuffle 12 13 14 15 16 17 18 19 20 21 22 23 24 25 26 27 (local.get $zero) (local.get $cells))))
          (local.set $cells (i8x16.add (local.get $cells)
            (i8x16.shuffle 8 9 10 11 12 13 14 15 16 17 18 19 20 21 22 23 (local.get $zero) (local.get $cells))))
          (local.set $cells (i8x16.add (local.get $cells) (local.get $before)))
          (v128.store (local.get $out) (local.get $cells))
          (local.set $before
            (i8x16.shuffle 12 13 14 15 12 13 14 15 12 13 14 15 12 13 14 15 (local.get $cells) (local.get $cells)))

          (local.set $cells (i8x16.shuffle 8 9 24 25 10 11 26 27 12 13 28 29 14 15 30 31
            (local.get $low) (local.get $high)))
          (local.set $cells (i8x16.add (local.get $cells)
            (i8x16.shuffle 12 13 14 15 16 17 18 19 20 21 22 23 24 25 26 27 (local.get $zero) (local.get $cells))))
          (local.set $cells (i8x16.add (local.get $cells)
            (i8x16.shuffle 8 9 10 11 12 13 14 15 16 17 18 19 20 21 22 23 (local.get $zero) (local.get $cells))))
          (local.set $cells (i8x16.add (local.get $cells) (local.get $before)))
          (v128.store offset=16 (local.get $out) (local.get $cells))
          (local.set $before
            (i8x16.shuffle 12 13 14 15 12 13 14 15 12 13 14 15 12 13 14 15 (local.get $cells) (local.get $cells)))

          ;; The other eight.
          (local.set $low (i8x16.shuffle 8 24 9 25 10 26 11 27 12 28 13 29 14 30 15 31
            (local.get $plane3) (local.get $plane2)))
          (local.set $high (i8x16.shuffle 8 24 9 25 10 26 11 27 12 28 13 29 14 30 15 31
            (local.get $plane1) (local.get $plane0)))
          (local.set $cells (i8x16.shuffle 0 1 16 17 2 3 18 19 4 5 20 21 6 7 22 23
            (local.get $low) (local.get $high)))
          (local.set $cells (i8x16.add (local.get $cells)
            (i8x16.shuffle 12 13 14 15 16 17 18 19 20 21 22 23 24 25 26 27 (local.get $zero) (local.get $cells))))
          (local.set $cells (i8x16.add (local.get $cells)
            (i8x16.shuffle 8 9 10 11 12 13 14 15 16 17 18 19 20 21 22 23 (local.get $zero) (local.get $cells))))
          (local.set $cells (i8x16.add (local.get $cells) (local.get $before)))
          (v128.store offset=32 (local.get $out) (local.get $cells))
          (local.set $before
            (i8x16.shuffle 12 13 14 15 12 13 14 15 12 13 14 15 12 13 14 15 (local.get $cells) (local.get $cells)))

          (local.set $cells (i8x16.shuffle 8 9 24 25 10 11 26 27 12 13 28 29 14 15 30 31
            (local.get $low) (local.get $high)))
          (local.set $cells (i8x16.add (local.get $cells)
            (i8x16.shuffle 12 13 14 15 16 17 18 19 20 21 22 23 24 25 26 27 (local.get $zero) (local.get $cells))))
          (local.set $cells (i8x16.add (local.get $cells)
            (i8x16.shuffle 8 9 10 11 12 13 14 15 16 17 18 19 20 21 22 23 (local.get $zero) (local.get $cells))))
          (local.set $cells (i8x16.add (local.get $cells) (local.get $before)))
          (v128.store offset=48 (local.get $out) (local.get $cells))
          (local.set $before
            (i8x16.shuffle 12 13 14 15 12 13 14 15 12 13 14 15 12 13 14 15 (local.get $cells) (local.get $cells)))

          (local.set $out (i32.add (local.get $out) (i32.const 64)))
          (local.set $at1 (i32.add (local.get $at1) (i32.const 16)))
          (local.set $at2 (i32.add (local.get $at2) (i32.const 16)))
          (local.set $at3 (i32.add (local.get $at3) (i32.const 16)))
          (local.set $at0 (i32.add (local.get $at0) (i32.const 16)))
          (br_if $next (i32.lt_u (local.get $at0) (local.get $end))))
        ;; Back from beyond the end of the row to it, by the bytes that were too many.
        (local.set $at0 (i32.sub (local.get $at0) (local.get $end)))
        (local.set $at3 (i32.sub (local.get $at3) (local.get $at0)))
        (local.set $out (i32.sub (local.get $out) (i32.shl (local.get $at0) (i32.const 2))))
        (local.set $rows (i32.sub (local.get $rows) (i32.const 1)))
        (br $row)))))
