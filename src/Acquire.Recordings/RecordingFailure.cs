namespace Acquire.Recordings;

/// <summary>Why a recording could not be read or written.</summary>
public enum RecordingFailure
{
    /// <summary>No file with that name.</summary>
    NotFound,

    /// <summary>There is a dataset but no metadata beside it.</summary>
    MetadataMissing,

    /// <summary>There is metadata but no dataset beside it.</summary>
    DataMissing,

    /// <summary>The name is that of a folder.</summary>
    IsFolder,

    /// <summary>The file may not be opened by this user.</summary>
    NotPermitted,

    /// <summary>The operating system could not read the file: a loop of symbolic links, a device error.</summary>
    Unreadable,

    /// <summary>The file is not of a kind that is read here.</summary>
    UnknownKind,

    /// <summary>The metadata is larger than is plausible and was not read.</summary>
    MetadataTooLarge,

    /// <summary>The metadata is not JSON, or nested deeper than is plausible.</summary>
    NotJson,

    /// <summary>A field that must be there is missing.</summary>
    FieldMissing,

    /// <summary>A field has a value of the wrong type or outside its range.</summary>
    FieldWrong,

    /// <summary>The words are complex numbers, which no converter of a swept instrument gives.</summary>
    ComplexWords,

    /// <summary>The words' type is unknown or lacks its byte order.</summary>
    UnknownWords,

    /// <summary>The scan rate is not a positive, finite number.</summary>
    RateWrong,

    /// <summary>The number of channels is zero or too large, or a channel was asked for that is not there.</summary>
    ChannelsWrong,

    /// <summary>The capture segments are not in ascending order.</summary>
    CapturesUnsorted,

    /// <summary>The recording needs an extension that is not known here.</summary>
    ExtensionUnknown,

    /// <summary>Header or trailing bytes reach beyond the file.</summary>
    BeyondFile,

    /// <summary>The file holds not one whole scan.</summary>
    NoScans,

    /// <summary>The file became shorter while it was read or written.</summary>
    Shrunk,

    /// <summary>The dataset is not the one that the metadata's hash was made of.</summary>
    HashWrong,

    /// <summary>An option does not fit what the file holds.</summary>
    OptionWrong,

    /// <summary>The file could not be written.</summary>
    NotWritable,
}
