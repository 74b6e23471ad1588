using System.Buffers.Binary;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace Acquire.Painting;

/// <summary>A rectangle of pixels in a caller's buffer. Column 0 is left, row 0 is the top.</summary>
/// <remarks>The memory stays the caller's. Not thread-safe.</remarks>
public readonly ref struct PixelSurface
{
    private readonly Span<byte> _bytes;

    /// <summary>Makes a surface on a buffer.</summary>
    /// <param name="bytes">From the top left pixel on.</param>
    /// <param name="width">Pixels in a row, at least 1.</param>
    /// <param name="height">Rows, at least 1.</param>
    /// <param name="strideBytes">Bytes from one row to the next, at least those of a row.</param>
    /// <param name="format">How a pixel lies in memory.</param>
    /// <exception cref="ArgumentException">A size is out of range or the buffer is too small.</exception>
    public PixelSurface(Span<byte> bytes, int width, int height, int strideBytes, PixelFormat format)
    {
        if (width < 1 || height < 1)
            throw new ArgumentException($"The surface is {width} x {height} pixels; it needs at least 1 x 1. Give the size of the picture.");
        int pixelBytes = BytesOf(format);
        if (strideBytes < (long)width * pixelBytes)
            throw new ArgumentException($"The stride is {strideBytes} bytes but {width} pixels take {(long)width * pixelBytes}; give the bytes from one row to the next.", nameof(strideBytes));
        long needed = ((long)strideBytes * (height - 1)) + ((long)width * pixelBytes);
        if (bytes.Length < needed)
            throw new ArgumentException($"The buffer holds {bytes.Length} bytes but {height} rows of {strideBytes} bytes need {needed}; give a larger buffer or fewer rows.", nameof(bytes));
        _bytes = bytes;
        Width = width;
        Height = height;
        StrideBytes = strideBytes;
        Format = format;
    }

    /// <summary>Pixels in a row.</summary>
    public int Width { get; }

    /// <summary>Rows.</summary>
    public int Height { get; }

    /// <summary>Bytes from one row to the next.</summary>
    public int StrideBytes { get; }

    /// <summary>How a pixel lies in memory.</summary>
    public PixelFormat Format { get; }

    private int PixelBytes => BytesOf(Format);

    /// <summary>A rectangle of this surface, in the same memory.</summary>
    /// <param name="x">Its left column here.</param>
    /// <param name="y">Its top row here.</param>
    /// <param name="width">Its width, at least 1.</param>
    /// <param name="height">Its height, at least 1.</param>
    /// <exception cref="ArgumentException">It does not lie inside of this surface.</exception>
    public PixelSurface Slice(int x, int y, int width, int height)
    {
        if (x < 0 || y < 0 || width < 1 || height < 1 || (long)x + width > Width || (long)y + height > Height)
            throw new ArgumentException($"The rectangle at {x}, {y} of {width} x {height} pixels does not lie inside of {Width} x {Height}; give one that does.");
        return new PixelSurface(_bytes[((y * StrideBytes) + (x * PixelBytes))..], width, height, StrideBytes, Format);
    }

    /// <summary>Sets one pixel.</summary>
    /// <param name="x">0 to Width - 1.</param>
    /// <param name="y">0 to Height - 1.</param>
    /// <param name="colour">Its colour; with 16 bits the nearest that they have.</param>
    /// <exception cref="ArgumentOutOfRangeException">The pixel does not lie inside of this surface.</exception>
    public void Set(int x, int y, Colour colour)
    {
        Span<byte> pixel = PixelAt(x, y);
        if (Format == PixelFormat.Bgra8888) BinaryPrimitives.WriteUInt32LittleEndian(pixel, (uint)Encode(colour));
        else BinaryPrimitives.WriteUInt16LittleEndian(pixel, (ushort)Encode(colour));
    }

    /// <summary>Colour of one pixel; with 16 bits the nearest 8-bit values.</summary>
    /// <param name="x">0 to Width - 1.</param>
    /// <param name="y">0 to Height - 1.</param>
    /// <exception cref="ArgumentOutOfRangeException">The pixel does not lie inside of this surface.</exception>
    public Colour Get(int x, int y)
    {
        Span<byte> pixel = PixelAt(x, y);
        if (Format == PixelFormat.Bgra8888) return new Colour(pixel[2], pixel[1], pixel[0]);
        int value = BinaryPrimitives.ReadUInt16LittleEndian(pixel);
        return new Colour(Widened(value >> 11, 31), Widened((value >> 5) & 63, 63), Widened(value & 31, 31));
    }

    /// <summary>Sets every pixel.</summary>
    /// <param name="colour">Their colour.</param>
    public void Fill(Colour colour)
    {
        for (int y = 0; y < Height; y++)
            for (int x = 0; x < Width; x++) Set(x, y, colour);
    }

    /// <summary>Moves the whole picture down; the rows that become free at the top keep what they showed.</summary>
    /// <param name="rows">Rows to move by, 0 or more; Height or more moves everything out.</param>
    /// <exception cref="ArgumentOutOfRangeException">The rows are fewer than none.</exception>
    public void MoveDown(int rows)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(rows);
        int rowBytes = Width * PixelBytes;
        for (int y = Height - 1; y >= rows; y--)
            _bytes.Slice((y - rows) * StrideBytes, rowBytes).CopyTo(_bytes.Slice(y * StrideBytes, rowBytes));
    }

    /// <summary>A colour as it lies in memory here, for <see cref="FillRow"/> and <see cref="FillColumn"/>.</summary>
    internal uint Encoded(Colour colour)
    {
        uint value = (uint)Encode(colour);
        if (BitConverter.IsLittleEndian) return value;
        return Format == PixelFormat.Bgra8888 ? BinaryPrimitives.ReverseEndianness(value) : BinaryPrimitives.ReverseEndianness((ushort)value);
    }

    /// <summary>Sets all pixels of a row.</summary>
    internal void FillRow(int y, uint encoded)
    {
        Span<byte> row = _bytes.Slice(y * StrideBytes, Width * PixelBytes);
        if (Format == PixelFormat.Bgra8888) MemoryMarshal.Cast<byte, uint>(row).Fill(encoded);
        else MemoryMarshal.Cast<byte, ushort>(row).Fill((ushort)encoded);
    }

    /// <summary>Sets some pixels of a column.</summary>
    internal void FillColumn(int x, int firstY, int endY, uint encoded)
    {
        if (firstY >= endY) return;

        // Bounds are checked once for the column; everything between lies inside of the buffer, which the constructor has measured.
        _ = PixelAt(x, firstY);
        _ = PixelAt(x, endY - 1);
        ref byte pixel = ref Unsafe.Add(ref MemoryMarshal.GetReference(_bytes), (firstY * StrideBytes) + (x * PixelBytes));
        if (Format == PixelFormat.Bgra8888)
        {
            for (int y = firstY; y < endY; y++, pixel = ref Unsafe.Add(ref pixel, StrideBytes)) Unsafe.WriteUnaligned(ref pixel, encoded);
        }
        else
        {
            for (int y = firstY; y < endY; y++, pixel = ref Unsafe.Add(ref pixel, StrideBytes)) Unsafe.WriteUnaligned(ref pixel, (ushort)encoded);
        }
    }

    private static int BytesOf(PixelFormat format) => format switch
    {
        PixelFormat.Rgb565 => 2,
        PixelFormat.Bgra8888 => 4,
        _ => throw new ArgumentException($"The pixel format is {(int)format}, which is none; give Rgb565 or Bgra8888.", nameof(format)),
    };

    private static byte Widened(int value, int most) => (byte)(((value * 255) + (most / 2)) / most);

    private static int Narrowed(byte value, int most) => ((value * most) + 127) / 255;

    // Bounds are checked by hand: a column past the right edge would otherwise be the next row's.
    private Span<byte> PixelAt(int x, int y)
    {
        if ((uint)x >= (uint)Width || (uint)y >= (uint)Height)
            throw new ArgumentOutOfRangeException(nameof(x), $"The pixel {x}, {y} does not lie inside of {Width} x {Height}; give one that does.");
        return _bytes.Slice((y * StrideBytes) + (x * PixelBytes), PixelBytes);
    }

    private int Encode(Colour colour) => Format == PixelFormat.Bgra8888
        ? (0xFF << 24) | (colour.Red << 16) | (colour.Green << 8) | colour.Blue
        : (Narrowed(colour.Red, 31) << 11) | (Narrowed(colour.Green, 63) << 5) | Narrowed(colour.Blue, 31);
}
